"""How a group break is cut: what its slots hold, are worth, should cost and are asked for, and which to pick.

- `compute`: a break as a `value`; `tell`: what a host would say of it
- `asked`: what others ask for its slots; `aims` and `picks`: which slot suits a buyer

Private: `owners` (who gets which card), `weighing` (what each slot is worth), `limits` (how sure that is).
"""

__all__ = [
    "aims",
    "asked",
    "compute",
    "picks",
    "tell",
    "value",
]
