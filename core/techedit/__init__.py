"""The tech edit: one list of findings over the whole pattern, as a technical editor draws it up.

`edit.tech_edit` goes over a design's results and its pattern as published; each other module
looks at one thing. An error keeps the pattern from being worked or published as it stands, a
warning wants a look, a note is worth knowing. Only errors stamp what is exported.
"""
