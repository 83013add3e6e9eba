"""Charts, causes and weeks -> pictures; the only place that draws with matplotlib.

Colours are of Okabe and Ito's palette (Color Universal Design, 2008), told apart in grey by shape,
line and hatch as well. The same figures give the same bytes.
"""

from weighstation.report.charts.picture.control import (
    chart_svg,
    draw_chart,
    drawn_how,
    picture_form,
)

__all__ = ["chart_svg", "draw_chart", "drawn_how", "picture_form"]
