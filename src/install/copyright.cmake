# Puts the licences of the page's libraries below ours, as a comment of a Debian copyright file: each line indented by a
# blank, an empty one a dot.
file(READ ${HEAD} head)
file(READ ${LICENCES} licences)
string(REGEX REPLACE "[ \r]*\n" "\n" licences "${licences}")
string(REGEX REPLACE "\n+$" "" licences "${licences}")
string(REPLACE "\n" "\n " licences " ${licences}")
string(REPLACE "\n \n" "\n .\n" licences "${licences}")
string(REPLACE "\n \n" "\n .\n" licences "${licences}")
file(WRITE ${OUT} "${head}${licences}\n")
