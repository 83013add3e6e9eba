"""The products file that ``init`` writes: an invented bakery, every key explained beside it."""

from __future__ import annotations

FIRST = "Tin loaf"
"""The product that a newcomer is told to divide first."""

FIRST_PRODUCTS = """\
# The products of this shop. The bakery is invented, and every number in it is an example:
# put your own in its place. Only currency, name, scaling_weight_g, under_g and over_g must be
# there; take out what you do not use. A name with a space in it stands in quotes.
# What comes after a line in brackets belongs to that line.

currency = "EUR"                # its code by ISO 4217, three capital letters
# decimal = ","                 # between whole and part in what people read; else a point
# days = "day-month"            # 02.03.2026 in what people read; else 2026-03-02
# bowl_kg = 60                  # how much dough the bowl of the mixer holds
# show_people = true            # reports tell people apart by their initials; ask them first

[prices_per_kg]                 # by ingredient; the cost of each dough follows from them
"wheat flour" = 0.80
"rye flour" = 0.95
water = 0.003
salt = 0.40
yeast = 2.50
"rapeseed oil" = 2.20
milk = 1.10
butter = 7.50
sugar = 1.20

[oven]                          # the oven of the shop
places = 24                     # pieces in one load, where a product does not say its own
cycle_min = 45                  # minutes from one load in to the next one in


# ---- A tin loaf of 800 g

[[product]]
name = "Tin loaf"
scaling_weight_g = 920          # what a piece of dough should weigh
under_g = 5                     # how far below it a piece may be and still be kept
over_g = 10                     # how far above it
declared_g = 800                # what the label says of the baked loaf
sale_price_each = 3.20
quantity_rule = "eu-76-211"     # or "oiml-r87", "nist-hb133", or a file of your own
board_places = 12               # pieces on a board
rest_min = [10, 15]             # bench rest, minutes: the least and the most
dough_limit_min = 20            # how long one dough may be divided, minutes
dough = "white"                 # products of one dough have one formula, written once
allergens = ["wheat"]           # [] for none; bench flour counts too

[product.formula]               # percent of all flour; the flours are 100 together
flours = ["wheat flour"]
"wheat flour" = 100
water = 60
"rapeseed oil" = 2
yeast = 2
salt = 1.8

[product.losses]                # percent, stage by stage
basis = "dough"                 # of what goes into the stage; "bread": of what comes out of it
fermentation_pct = 1
handling_pct = 1
oven_pct = 10.5
cooling_pct = 1.5
shelf_pct = 1

[product.dusting]               # bench flour
name = "wheat flour"
allergens = ["wheat"]

[product.proof]                 # final proof
minutes = 50
temperature_c = 32

[product.oven]
minutes = 32
places = 24


# ---- A hearth loaf of 1 kg

[[product]]
name = "Hearth loaf"
scaling_weight_g = 1195
under_g = 8
over_g = 12
declared_g = 1000
sale_price_each = 5.40
quantity_rule = "eu-76-211"
board_places = 6
rest_min = [15, 20]
dough_limit_min = 20
dough = "country"
allergens = ["wheat", "rye"]

[product.formula]
flours = ["wheat flour", "rye flour"]
"wheat flour" = 80
"rye flour" = 20
water = 68
salt = 2
yeast = 1

[product.losses]
basis = "dough"
fermentation_pct = 1
handling_pct = 1
oven_pct = 14
cooling_pct = 1.5
shelf_pct = 1

[product.dusting]
name = "rye flour"
allergens = ["rye"]

[product.proof]
minutes = 60
temperature_c = 27

[product.oven]
minutes = 45
places = 16


# ---- A soft roll, sprinkled with sesame, sold by the piece

[[product]]
name = "Sesame roll"
scaling_weight_g = 70
under_g = 2
over_g = 2
sale_price_each = 0.70
board_places = 15
rest_min = [5, 10]
dough_limit_min = 15
dough = "milk"
allergens = ["wheat", "milk", "sesame"]

[product.formula]
flours = ["wheat flour"]
"wheat flour" = 100
milk = 55
butter = 8
sugar = 4
yeast = 3
salt = 1.8

[product.losses]
basis = "bread"                 # "allow 17 g for 100 g of bread" is 17 % of the bread
oven_pct = 17
cooling_pct = 2

[product.dusting]
name = "wheat flour"
allergens = ["wheat"]

[product.proof]
minutes = 45
temperature_c = 34

[product.oven]
minutes = 14
places = 90
"""
