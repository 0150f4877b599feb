# Compares the SHA-256 of FILE with the first word of EXPECTED; a difference fails and prints the new one.
file(SHA256 ${FILE} found)
file(READ ${EXPECTED} line)
string(REGEX MATCH "^[0-9a-f]+" expected "${line}")
if(NOT found STREQUAL expected)
  message(FATAL_ERROR "${FILE}: SHA-256 is ${found}, expected ${expected}")
endif()
message(STATUS "SHA-256 ${found}")
