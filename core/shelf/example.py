"""A small shelf to look at, only on request: invented yarns of Harbour Steps, a guest house."""

from core.shelf.entry import Entry, new_uid


def example() -> tuple[Entry, ...]:
    """Return the yarns of the example."""
    where = "chest on the landing"
    rows = (
        ("Deep Mooring", "#24455c", "A14", 9, (31.0,), where),
        ("Samphire Bed", "#7d9a6b", "A09", 6, (), where),
        ("Limewash", "#efe6d2", "C02", 11, (12.5, 40.0), where),
        ("Brick Quay", "#b5573c", "B31", 3, (22.0,), "basket in the hall"),
        ("Brick Quay", "#b5573c", "B32", 2, (), "basket in the hall"),
        ("Lamp Oil", "#d9a441", "", 0, (38.0, 17.5, 9.0), "tin with the remnants"),
        ("Gull's Back", "#9aa7b5", "D11", 4, (), where),
        ("Ferry Rope", "#c9b48a", "", 1, (26.0,), "tin with the remnants"),
    )
    return tuple(
        Entry(
            uid=new_uid(),
            name=name,
            colour=colour,
            ball_m=120.0,
            ball_g=50.0,
            fibre="cotton",
            weight=3,
            lot=lot,
            price=4.2,
            currency="EUR",
            balls=balls,
            remnants=remnants,
            place=place,
            notes="An example: take it off the shelf when you have seen it.",
        )
        for name, colour, lot, balls, remnants, place in rows
    )
