"""shop.toml as a noun, with what was assumed where it is silent."""

from __future__ import annotations

from pathlib import Path

from pourwright.basics.quantities import show
from pourwright.domain.shop import Pot, Prices, Printer, Room, Scale, Shop
from pourwright.store.folder import SHOP_FILE, ShopFolder, as_shop
from pourwright.store.toml_file import read_toml


def read_shop(root: Path | ShopFolder) -> Shop:
    """What shop.toml says, with the keys that were left out in `assumed`.

    Raises
    ------
    CannotRead, InputErrors
        With the line of each thing that is wrong.
    """
    from pourwright.store.definitions import ShopFile
    from pourwright.store.reading import left_out, validated

    shop = as_shop(root)
    file = read_toml(shop.root / SHOP_FILE, shown=SHOP_FILE)
    said = validated(file, ShopFile)
    return Shop(
        room=Room(**said.room.model_dump()),
        printers=tuple(Printer(**printer.model_dump()) for printer in said.printer),
        pot=None if said.pot is None else Pot(**said.pot.model_dump()),
        scale=Scale(**said.scale.model_dump()),
        prices=Prices(**said.prices.model_dump()),
        free_hours=said.hours.model_dump(exclude_none=True),
        logbook_address=said.logbook.address,
        assumed=tuple(left_out(said)),
    )


def assumed_in_words(shop: Shop) -> tuple[str, ...]:
    """What was assumed because shop.toml is silent, for a person: "room.temperature 23 °C"."""
    tables: dict[str, object] = {"room": shop.room, "scale": shop.scale}
    tables |= {f"printer[{index}]": printer for index, printer in enumerate(shop.printers)}
    kinds = {"temperature": "temperature", "humidity": "share", "altitude": "length"}
    kinds |= dict.fromkeys(("readability", "repeatability", "capacity"), "mass")
    words = []
    for key in shop.assumed:
        table, _, name = key.partition(".")
        value = getattr(tables.get(table), name, None)
        if isinstance(value, tuple):
            words.append(f"{key} {' × '.join(show(side, 'length') for side in value)}")
        elif isinstance(value, float):
            unit = "m" if name == "altitude" else None
            words.append(f"{key} {show(value, kinds.get(name, 'length'), unit)}")
        else:
            words.append(f"{key} {value}")
    return tuple(words)
