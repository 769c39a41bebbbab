"""The camera and lighting package of demo claim 2: thirty kit lines."""

from __future__ import annotations

import datetime as dt

from demo_claims.draw.records import D
from ldapp.claim.kit import KitLine, Part

KIT_TABLE = """
1|Cinema camera body A, Super 35|1|Camera|Case C1|camera|210.00|14200.00|2024-02
2|Cine prime 35 mm T1.5|1|Lenses|Case L1|lens|48.00|3150.00|2023-06
3|Cine prime 50 mm T1.5|1|Lenses|Case L1|lens|48.00|3150.00|2023-06
4|Cine prime 85 mm T1.5|1|Lenses|Case L1|lens|48.00|3150.00|2023-06
5|Diopter set 114 mm, in pouch|1|Lenses|Case L1|lens|12.00|420.00|2022-09
6|Matte box, clip-on, with top flag|1|Camera|Case C2|camera|14.00|640.00|2023-06
7|Follow focus, manual|1|Camera|Case C2|camera|12.00|780.00|2023-06
8|Filter 4x5.65, neutral density set|1|Filters|Case C2|camera|22.00|940.00|2022-09
9|Monitor 7 in, on camera|2|Monitors|Case M1|camera|18.00|780.00|2024-05
10|Monitor 17 in, director's|1|Monitors|Case M2|camera|34.00|2100.00|2023-03
11|Wireless video link, one to two|1|Monitors|Case M3|camera|60.00|3400.00|2024-05
12|Battery 98 Wh|8|Power|Case B1|battery|5.00|240.00|2024-10
13|Battery charger, four bays|1|Power|Case B1|camera|10.00|460.00|2023-03
14|Media card 512 GB|4|Media|Wallet|camera|9.00|310.00|2025-01
15|Card reader|1|Media|Wallet|camera|3.00|95.00|2025-01
16|Tripod, two-stage, with fluid head|1|Support|Loose|camera|40.00|5200.00|2021-11
17|Tripod, short|1|Support|Loose|camera|12.00|780.00|2021-11
18|LED panel 2x1, bicolour|3|Lighting|Case K1|lighting|55.00|1950.00|2024-05
19|LED tube 2 ft|4|Lighting|Case K2|lighting|18.00|480.00|2024-05
20|Soft box for LED panel 2x1|3|Lighting|Case K1|lighting|8.00|210.00|2024-05
21|C-stand 40 in, with head and arm|6|Grip|Loose|grip|5.00|235.00|2022-02
22|Combo stand|3|Grip|Loose|grip|6.00|270.00|2022-02
23|Sandbag 25 lb|8|Grip|Loose|grip|1.00|38.00|2022-02
24|Extension cable 16 A, 10 m|6|Power|Crate P1|electrical_distribution|1.50|44.00|2023-03
25|Distribution board 32 A|1|Power|Crate P1|electrical_distribution|14.00|520.00|2021-11
26|Shoulder rig with rods 15 mm|1|Support|Case C2|camera|15.00|690.00|2022-09
27|Rods 15 mm, 12 in, pair|2|Support|Case C2|camera|2.00|46.00|2022-09
28|Case for camera, wheeled|1|Cases|Loose|other|0.00|260.00|2022-09
29|Case for lenses, foam cut|1|Cases|Loose|other|0.00|230.00|2022-09
30|Camera cart|1|Cases|Loose|grip|22.00|1450.00|2022-02
"""


_SERIALS = {
    "1": ("C1-019",),
    "2": ("P35-206",),
    "3": ("P50-208",),
    "4": ("P85-211",),
    "9": ("M7-031", "M7-032"),
    "10": ("M17-008",),
    "11": ("WV-077",),
    "16": ("FH-0440",),
    "18": ("L21-076", "L21-077", "L21-078"),
}


_TAGS = {
    "1": ("BCL-C1-019",),
    "3": ("BCL-P50-208",),
    "9": ("BCL-M7-031", "BCL-M7-032"),
    "18": ("BCL-L21-076", "BCL-L21-077", "BCL-L21-078"),
}


_PARTS = {
    "6": (
        Part(id="k06-flag", description="top flag", replacement_cost=D("68.00")),
        Part(id="k06-donut", description="rubber donut", replacement_cost=D("24.00")),
    )
}


def kit_lines() -> tuple[KitLine, ...]:
    out = []
    for row in KIT_TABLE.strip().splitlines():
        number, what, count, category, place, kind, rate, cost, bought = row.split("|")
        year, month = (int(v) for v in bought.split("-"))
        out.append(
            KitLine(
                id=f"k{int(number):02d}",
                number=number,
                agreement="a-bcl",
                description=what,
                quantity=int(count),
                serials=_SERIALS.get(number, ()),
                asset_tags=_TAGS.get(number, ()),
                parts=_PARTS.get(number, ()),
                kind=kind,
                category=category,
                location=place,
                day_rate=D(rate),
                replacement_cost=D(cost),
                acquired=dt.date(year, month, 1),
            )
        )
    return tuple(out)
