"""The camera, light and sound package of demo claim 3: forty kit lines."""

from __future__ import annotations

import datetime as dt

from demo_claims.draw.records import D
from ldapp.claim.kit import KitLine

KIT_TABLE = """
1|Cinema camera body A|1|Camera|Camera case|camera|240.00|12800.00|2024-04
2|Cine prime 25 mm T1.5|1|Lenses|Prime case|lens|38.00|1950.00|2023-08
3|Cine prime 35 mm T1.5|1|Lenses|Prime case|lens|38.00|1950.00|2023-08
4|Cine prime 50 mm T1.5|1|Lenses|Prime case|lens|38.00|1950.00|2023-08
5|Cine prime 85 mm T1.5|1|Lenses|Prime case|lens|38.00|1950.00|2023-08
6|Matte box, clip-on|1|Camera|Camera case|camera|18.00|890.00|2023-08
7|Shoulder rig|1|Camera|Soft bag|camera|15.00|620.00|2022-01
8|Monitor 7 in|2|Monitors|Monitor case|camera|18.00|680.00|2024-09
9|Monitor hood|2|Monitors|Soft bag|camera|2.00|42.00|2024-09
10|Monitor arm|2|Monitors|Soft bag|camera|4.00|110.00|2024-09
11|Battery 98 Wh|8|Power|Battery case|battery|6.00|215.00|2025-01
12|Battery charger, two bays|1|Power|Soft bag|camera|8.00|420.00|2023-02
13|Media card 512 GB|4|Media|Camera case|camera|10.00|310.00|2025-03
14|Wireless follow focus|1|Camera|Camera case|camera|65.00|2150.00|2024-04
15|Card reader|1|Media|Soft bag|camera|3.00|88.00|2025-03
16|Tripod, two-stage, with fluid head|1|Support|Loose|camera|35.00|3900.00|2021-10
17|Slider 3 ft|1|Support|Loose|camera|28.00|860.00|2022-06
18|Filter 4x5.65, neutral density set|1|Filters|Soft bag|camera|20.00|780.00|2022-06
19|LED fresnel 200 W|3|Lighting|Fresnel cases|lighting|48.00|1890.00|2024-02
20|LED panel 1x1|2|Lighting|Panel case|lighting|38.00|1120.00|2024-02
21|LED tube 2 ft|4|Lighting|Tube case|lighting|18.00|390.00|2025-02
22|Soft box for LED fresnel|2|Lighting|Soft bag|lighting|9.00|180.00|2024-02
23|C-stand 40 in, with head and arm|6|Grip|Loose|grip|6.00|260.00|2022-03
24|Combo stand|3|Grip|Loose|grip|7.00|310.00|2022-03
25|Sandbag 25 lb|8|Grip|Loose|grip|1.25|44.00|2022-03
26|Apple box, full|4|Grip|Crate|grip|1.50|40.00|2022-03
27|Flag 24x36 solid|2|Grip|Loose|grip|2.00|90.00|2023-05
28|Diffusion frame 4x4|2|Grip|Loose|grip|4.00|95.00|2023-05
29|Stinger 25 ft, 12/3|6|Power|Crate|electrical_distribution|1.50|58.00|2023-05
30|Stinger 50 ft, 12/3|4|Power|Crate|electrical_distribution|2.00|88.00|2023-05
31|Power strip, six outlets|2|Power|Crate|electrical_distribution|1.00|24.00|2023-05
32|Boom pole|1|Sound|Loose|sound|10.00|410.00|2022-09
33|Shotgun microphone|1|Sound|Sound bag|sound|18.00|990.00|2022-09
34|Mixer-recorder, four channels|1|Sound|Sound bag|sound|40.00|1750.00|2022-09
35|Headphones|2|Sound|Sound bag|sound|3.00|120.00|2022-09
36|Case for LED fresnel|3|Cases|Loose|other|0.00|160.00|2024-02
37|Case for camera|1|Cases|Loose|other|0.00|240.00|2024-04
38|Case for primes|1|Cases|Loose|other|0.00|190.00|2023-08
39|Case for monitors|1|Cases|Loose|other|0.00|120.00|2024-09
40|Case for batteries|1|Cases|Loose|other|0.00|110.00|2025-01
"""


_SERIALS = {
    "1": ("DCX-448120",),
    "2": ("P25-021",),
    "3": ("P35-022",),
    "4": ("P50-023",),
    "5": ("P85-024",),
    "8": ("M7-034", "M7-035"),
    "14": ("FF-0919",),
    "16": ("FH-0612",),
    "19": ("F-112", "F-113", "F-114"),
    "33": ("SG-3308",),
    "34": ("MX-0127",),
}


_TAGS = {
    "1": ("LCR-C-007",),
    "2": ("LCR-P-021",),
    "3": ("LCR-P-022",),
    "4": ("LCR-P-023",),
    "5": ("LCR-P-024",),
    "19": ("LCR-F-112", "LCR-F-113", "LCR-F-114"),
}


STOLEN = {
    "k01": 1,
    "k02": 1,
    "k03": 1,
    "k04": 1,
    "k05": 1,
    "k06": 1,
    "k08": 2,
    "k11": 6,
    "k13": 2,
    "k14": 1,
    "k37": 1,
    "k38": 1,
    "k39": 1,
    "k40": 1,
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
                agreement="a-lcr",
                description=what,
                quantity=int(count),
                serials=_SERIALS.get(number, ()),
                asset_tags=_TAGS.get(number, ()),
                kind=kind,
                category=category,
                location=place,
                day_rate=D(rate),
                replacement_cost=D(cost),
                acquired=dt.date(year, month, 1),
            )
        )
    return tuple(out)
