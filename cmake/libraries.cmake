# The libraries we stand on, all from Debian 12 (packages.txt). Nothing is downloaded at build time.

find_package(Threads REQUIRED)
find_package(tl-expected REQUIRED)
find_package(fmt REQUIRED)
find_package(Boost 1.74 REQUIRED)
find_package(SQLite3 REQUIRED)
find_package(tomlplusplus REQUIRED)
find_package(nlohmann_json REQUIRED)
find_package(CLI11 REQUIRED)
find_package(Eigen3 3.4 REQUIRED)
find_package(GDAL CONFIG REQUIRED)
find_package(ZLIB REQUIRED)
find_package(EXPAT REQUIRED)
find_package(GTest REQUIRED)
find_package(rapidcheck REQUIRED)

# Debian ships a find module without a target for GeographicLib.
list(APPEND CMAKE_MODULE_PATH /usr/share/cmake/geographiclib)
find_package(GeographicLib REQUIRED)
add_library(GeographicLib::GeographicLib INTERFACE IMPORTED)
target_link_libraries(GeographicLib::GeographicLib INTERFACE ${GeographicLib_LIBRARIES})

# Boost 1.74 includes its own deprecated headers and says so at every file that includes it.
target_compile_definitions(Boost::headers INTERFACE BOOST_ALLOW_DEPRECATED_HEADERS)

# Used as a header alone (XXH_INLINE_ALL).
find_path(OMNIWAY_XXHASH_HEADER xxhash.h REQUIRED)
add_library(xxhash::xxhash INTERFACE IMPORTED)

# Neither ships a file for CMake.
find_path(OMNIWAY_QRENCODE_HEADER qrencode.h REQUIRED)
find_library(OMNIWAY_QRENCODE_LIBRARY qrencode REQUIRED)
add_library(qrencode::qrencode INTERFACE IMPORTED)
target_link_libraries(qrencode::qrencode INTERFACE ${OMNIWAY_QRENCODE_LIBRARY})
find_path(OMNIWAY_ZBAR_HEADER zbar.h REQUIRED)
find_library(OMNIWAY_ZBAR_LIBRARY zbar REQUIRED)
add_library(zbar::zbar INTERFACE IMPORTED)
target_link_libraries(zbar::zbar INTERFACE ${OMNIWAY_ZBAR_LIBRARY})
