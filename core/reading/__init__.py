"""Written rows as they are typed or printed: read, followed stitch by stitch, made a design.

tokens     text into words, numbers and signs, each with its place
names      what stitches are called, and numbers in words
acts       what a row tells to do, before anything is counted
cursor, places, phrases, grammar
           a row's words into acts; what can't be read is kept and named
layout     a whole text into foundation, rows and everything else
terms      US or UK, with the reason
working    acts followed stitch by stitch over the row below
reading    a whole text: every row with its counts, and where they break
shaping    stitches into items, and where the repeat is
taking     the design that the rows make
own        a designer's own wording of rows, beside the program's
"""
