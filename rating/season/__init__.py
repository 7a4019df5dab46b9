"""The season on disk: its folder, its settings, its releases, and all of it as one object."""
