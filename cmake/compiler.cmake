# How every file of ours is compiled: the language, the warnings, the arithmetic, the sanitizers and the compiler cache.

set(CMAKE_CXX_STANDARD 20)
set(CMAKE_CXX_STANDARD_REQUIRED ON)
set(CMAKE_CXX_EXTENSIONS OFF)

if(NOT CMAKE_CXX_COMPILER_ID STREQUAL "GNU" OR CMAKE_CXX_COMPILER_VERSION VERSION_LESS 12)
  message(WARNING "omniway is written for and tested with GCC 12; this is ${CMAKE_CXX_COMPILER_ID} "
                  "${CMAKE_CXX_COMPILER_VERSION}")
endif()

add_library(omniway_compile_options INTERFACE)
target_include_directories(omniway_compile_options INTERFACE ${CMAKE_SOURCE_DIR}/src)
target_compile_options(omniway_compile_options INTERFACE
  -Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wold-style-cast -Wuseless-cast -Wnon-virtual-dtor -Werror
  # The same source gives the same arithmetic: no fused multiply-add behind our back, never -ffast-math.
  -ffp-contract=off
  # No path of this machine in any object: a clone in another folder makes the same bytes and so hits the cache.
  # Two maps, because the cache turns absolute paths into paths relative to build/<preset>.
  -ffile-prefix-map=${CMAKE_SOURCE_DIR}/=
  -ffile-prefix-map=../../=)

set(OMNIWAY_SANITIZE "" CACHE STRING "Sanitizers, as -fsanitize= takes them")
if(OMNIWAY_SANITIZE)
  add_compile_options(-fsanitize=${OMNIWAY_SANITIZE} -fno-sanitize-recover=all)
  add_link_options(-fsanitize=${OMNIWAY_SANITIZE})
endif()

# The base folder is the clone itself, whatever it is called; /usr/bin/env costs a millisecond per file.
find_program(OMNIWAY_CCACHE ccache)
if(OMNIWAY_CCACHE)
  set(CMAKE_CXX_COMPILER_LAUNCHER
    /usr/bin/env CCACHE_BASEDIR=${CMAKE_SOURCE_DIR} CCACHE_NOHASHDIR=1 ${OMNIWAY_CCACHE})
endif()

# omniway_warning_exception(<file> <flag> <reason>): turns one warning off in one file, where GCC 12 is wrong about it.
# The file is given from the root of the repository, the flag as "-Wno-...", the reason as a sentence naming the case.
# All exceptions stand in cmake/warning_exceptions.cmake, so that they can be read, and removed, in one place.
function(omniway_warning_exception file flag reason)
  if(NOT EXISTS ${CMAKE_SOURCE_DIR}/${file})
    message(FATAL_ERROR "warning exception for a file that does not exist: ${file}")
  endif()
  if(NOT flag MATCHES "^-Wno-[a-z-]+$")
    message(FATAL_ERROR "a warning exception turns off one warning by name (-Wno-...), not '${flag}'")
  endif()
  if(reason STREQUAL "")
    message(FATAL_ERROR "a warning exception needs its reason: ${file} ${flag}")
  endif()
  set_property(SOURCE ${CMAKE_SOURCE_DIR}/${file} APPEND PROPERTY COMPILE_OPTIONS ${flag})
endfunction()
