"""Lengths as they are said: a pattern and the window are both held against these."""

# Worked out on paper: mm / 25.4 (international yard, 1959), 1 yd = 0.9144 m. A stitch gets
# hundredths of an inch, what is held against a ruler tenths from ten inches on (common practice).
HELD = (  # mm, units, as a stitch, against a ruler
    (7.7, "cm", "7.7 mm", "0.8 cm"),
    (83.0, "cm", "83.0 mm", "8.3 cm"),
    (254.1, "cm", "254.1 mm", "25.4 cm"),
    (7.7, "in", "0.30 in", "0.30 in"),
    (83.0, "in", "3.27 in", "3.27 in"),
    (254.1, "in", "10.00 in", "10.0 in"),
    (999.0, "in", "39.33 in", "39.3 in"),
)
SAID = (  # as one says it: whole cm from ten on, quarters of an inch (common practice)
    (1120, "cm", "112 cm"),
    (83, "cm", "8.3 cm"),
    (1124, "in", "44¼ in"),
    (1130, "in", "44½ in"),
    (1120, "in", "44 in"),
    (6.4, "in", "¼ in"),
)
YARN = ((366.0, "cm", "366 m"), (366.0, "in", "400 yd"), (41.5, "in", "45 yd"))
