"""The grip and electric truck of the disputed invoice: sixty kit lines."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from ldapp.claim.kit import DatedPrice, KitLine, Part

# number, description, quantity, category, location, kind, day rate, replacement cost, bought
_ROWS = """
1|C-stand 40 in, with head and arm|24|Stands|Truck rack left|grip|6.00|285.00|2023-03
2|Combo stand, junior|10|Stands|Truck rack left|grip|8.00|340.00|2022-06
3|Baby stand, double riser|8|Stands|Truck rack left|grip|6.00|190.00|2022-06
4|Low combo stand|4|Stands|Truck rack left|grip|7.00|260.00|2022-06
5|Wind-up stand, heavy|2|Stands|Truck rack right|rigging|40.00|1650.00|2021-02
6|C-stand 20 in, with head and arm|6|Stands|Truck rack left|grip|6.00|240.00|2023-03
7|Stand wheels, set of three|2|Stands|Crate G1|grip|5.00|96.00|2023-03
8|Grip head 2.5 in|12|Small grip|Crate G1|grip|2.00|62.00|2023-03
9|Gobo arm 40 in|8|Small grip|Truck rack left|grip|2.00|58.00|2023-03
10|C-clamp with baby pin|12|Small grip|Crate G2|grip|1.50|24.00|2024-01
11|Jaw clamp, end jaw|12|Small grip|Crate G2|grip|3.00|78.00|2024-01
12|Wall plate, baby pin 6 in|8|Small grip|Crate G2|grip|1.00|18.00|2024-01
13|Spring clamp no. 2|40|Small grip|Crate G3|grip|0.50|6.50|2024-01
14|Sandbag 25 lb|30|Weight|Side box|grip|1.50|48.00|2024-01
15|Sandbag 15 lb|12|Weight|Side box|grip|1.25|36.00|2024-01
16|Apple box, full|8|Boxes|Truck shelf 1|grip|1.50|44.00|2023-03
17|Apple box, half|8|Boxes|Truck shelf 1|grip|1.50|38.00|2023-03
18|Apple box, quarter|8|Boxes|Truck shelf 1|grip|1.25|32.00|2023-03
19|Wedges, box of ten|2|Boxes|Truck shelf 1|grip|2.00|28.00|2023-03
20|Flag 18x24 solid|8|Flags|Flag box A|grip|2.00|74.00|2024-05
21|Flag 24x36 solid|12|Flags|Flag box A|grip|2.50|96.00|2024-05
22|Flag 24x36 single net|6|Flags|Flag box A|grip|2.50|98.00|2024-05
23|Flag 24x36 double net|6|Flags|Flag box A|grip|2.50|98.00|2024-05
24|Flag 24x36 silk|4|Flags|Flag box A|grip|2.50|102.00|2024-05
25|Floppy 48x48|6|Flags|Flag box B|grip|5.00|165.00|2024-05
26|Cutter 18x48|4|Flags|Flag box B|grip|3.00|88.00|2024-05
27|Overhead frame 12x12, complete, with bag|1|Overhead|Truck wall|rigging|35.00|1150.00|2022-06
28|Overhead frame 8x8, complete, with bag|1|Overhead|Truck wall|rigging|25.00|780.00|2022-06
29|Rag 12x12 unbleached muslin|1|Overhead|Rag bag 1|grip|25.00|420.00|2023-09
30|Rag 12x12 solid|1|Overhead|Rag bag 2|grip|25.00|390.00|2023-09
31|Doorway dolly, carpeted deck|1|Dollies|Tailgate|grip|30.00|980.00|2020-04
32|Furniture pad|24|Expendable and soft|Truck shelf 3|grip|0.75|22.00|2023-09
33|Ladder, step, 6 ft|2|Ladders|Truck wall|grip|8.00|145.00|2023-09
34|Hand cart, folding|1|Ladders|Tailgate|grip|12.00|230.00|2023-09
35|Shot bag 20 lb|6|Weight|Side box|grip|1.50|42.00|2024-01
36|Tungsten head 650 W, complete|6|Tungsten|Cart E1|lighting|12.00|420.00|2021-05
37|Tungsten head 1K, complete|6|Tungsten|Cart E1|lighting|16.00|560.00|2021-05
38|Tungsten head 2K, complete|4|Tungsten|Cart E2|lighting|45.00|1280.00|2021-05
39|Tungsten head 5K, complete|2|Tungsten|Cart E2|lighting|70.00|2650.00|2021-05
40|LED panel 2x1, bicolour, with yoke|4|LED|Cart E3|lighting|65.00|2150.00|2024-08
41|LED panel 1x1, bicolour, with yoke|4|LED|Cart E3|lighting|40.00|1180.00|2024-08
42|LED tube 4 ft|8|LED|Case E4|lighting|25.00|640.00|2025-02
43|Soft box for LED panel 2x1|2|LED|Case E5|lighting|10.00|240.00|2024-08
44|Spare lamp 2K|4|Lamps|Case E6|consumable|0.00|68.00|2026-06
45|Spare lamp 1K|6|Lamps|Case E6|consumable|0.00|42.00|2026-06
46|Stinger 25 ft, 12/3|10|Cable|Belly box L|electrical_distribution|1.50|58.00|2024-03
47|Stinger 50 ft, 12/3|20|Cable|Belly box L|electrical_distribution|2.00|92.00|2024-03
48|Stinger 100 ft, 12/3|4|Cable|Belly box L|electrical_distribution|3.00|148.00|2024-03
49|Cube tap, 3-way|20|Cable|Crate E7|electrical_distribution|0.50|14.00|2024-03
50|Dimmer 1000 W, hand|6|Control|Crate E7|electrical_distribution|4.00|86.00|2023-07
51|Dimmer 2000 W, box|4|Control|Crate E7|electrical_distribution|9.00|265.00|2023-07
52|Distribution box 100 A|2|Distribution|Belly box R|electrical_distribution|22.00|890.00|2021-09
53|Feeder cable 50 ft, set of five|2|Distribution|Belly box R|electrical_distribution|38.00|1320.00|2021-09
54|Snack box, five outlets|4|Distribution|Belly box R|electrical_distribution|8.00|310.00|2021-09
55|Scrim set for 2K, in bag|4|Accessories|Cart E2|lighting|3.00|112.00|2021-05
56|Scrim set for 1K, in bag|6|Accessories|Cart E1|lighting|3.00|94.00|2021-05
57|Barn doors for 650 W|6|Accessories|Cart E1|lighting|2.00|64.00|2021-05
58|Cable crossover, five channels|6|Cable|Belly box R|electrical_distribution|9.00|340.00|2022-11
59|Cart, electric, with rails|3|Carts|Tailgate|grip|18.00|760.00|2022-11
60|Crate, slatted|7|Carts|Truck shelf 2|grip|1.00|26.00|2023-03
"""

_SERIALS = {
    "36": tuple(f"65-{n:04d}" for n in range(410, 416)),
    "37": tuple(f"1K-{n:04d}" for n in range(221, 227)),
    "38": ("2K-0114", "2K-0115", "2K-0116", "2K-0117"),
    "39": ("5K-0031", "5K-0032"),
    "40": ("L21-2051", "L21-2052", "L21-2053", "L21-2054"),
    "41": ("L11-1180", "L11-1181", "L11-1182", "L11-1183"),
    "31": ("TGE-D 014",),
    "5": ("WU-0071", "WU-0072"),
    "52": ("DB-0207", "DB-0208"),
}
_TAGS = {"31": ("TGE-D014",), "38": ("TGE-2K-0114", "TGE-2K-0115", "TGE-2K-0116", "TGE-2K-0117")}
_PARTS = {
    "1": (Part(id="k01-head", description="grip head"), Part(id="k01-arm", description="arm")),
    "27": (
        Part(id="k27-tube", description="tube 6 ft", per_unit=8, replacement_cost=Decimal("62.00")),
        Part(id="k27-corner", description="corner", per_unit=4, replacement_cost=Decimal("145.00")),
        Part(id="k27-bag", description="roll bag", replacement_cost=Decimal("74.00")),
    ),
    "38": (
        Part(id="k38-doors", description="barn doors", replacement_cost=Decimal("118.00")),
        Part(id="k38-lamp", description="lamp", replacement_cost=Decimal("68.00")),
        Part(id="k38-scrims", description="scrim set in bag", replacement_cost=Decimal("112.00")),
    ),
}
_PRICES = {
    "47": (
        DatedPrice(
            event="delivery",
            price=Decimal("92.00"),
            dated=dt.date(2026, 10, 12),
            document="d-agreement",
        ),
        DatedPrice(
            event="invoice",
            price=Decimal("104.00"),
            dated=dt.date(2026, 11, 6),
            document="d-invoice",
        ),
    )
}


def kit_lines() -> tuple[KitLine, ...]:
    lines = []
    for row in _ROWS.strip().splitlines():
        number, what, count, category, place, kind, rate, cost, bought = row.split("|")
        year, month = (int(v) for v in bought.split("-"))
        lines.append(
            KitLine(
                id=f"k{int(number):02d}",
                number=number,
                agreement="a-tge",
                description=what,
                quantity=int(count),
                serials=_SERIALS.get(number, ()),
                asset_tags=_TAGS.get(number, ()),
                parts=_PARTS.get(number, ()),
                kind=kind,
                category=category,
                location=place,
                day_rate=Decimal(rate),
                replacement_cost=Decimal(cost),
                prices=_PRICES.get(number, ()),
                acquired=dt.date(year, month, 1),
            )
        )
    return tuple(lines)
