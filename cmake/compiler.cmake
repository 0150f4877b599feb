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
  # The compiler collects its own garbage later: 8.5 % of the time to compile for at most 120 MB more (measured in release on six
  # files from flight/departure.cpp, 2 s, to wire/plan_json.cpp, 14 s).
  "$<$<CXX_COMPILER_ID:GNU>:--param=ggc-min-expand=400;--param=ggc-min-heapsize=800000>"
  # The same source gives the same arithmetic: no fused multiply-add behind our back, never -ffast-math.
  -ffp-contract=off
  # No path of this machine in any object: a clone in another folder makes the same bytes and so hits the cache.
  # Two maps, because the cache turns absolute paths into paths relative to build/<preset>.
  -ffile-prefix-map=${CMAKE_SOURCE_DIR}/=
  -ffile-prefix-map=../../=)

set(OMNIWAY_SANITIZE "" CACHE STRING "Sanitizers, as -fsanitize= takes them")
if(OMNIWAY_SANITIZE)
  # Null and misaligned pointers, overrun objects and pointers past their object are what the address sanitizer itself stops at when
  # they are used; asking again at every access of a member is 40 % of the time to compile (measured: flight/card_test.cpp, 30 s
  # against 18 s), at every sum of a pointer another 18 %. The address sanitizer's own question is a call and not written out at
  # each access: 22 % (both: plan_1.cpp of the joined sources, 45 s against 29 s).
  add_compile_options(-fsanitize=${OMNIWAY_SANITIZE} -fno-sanitize-recover=all
    -fno-sanitize=null,alignment,object-size,pointer-overflow
    "$<$<CXX_COMPILER_ID:GNU>:--param=asan-instrumentation-with-call-threshold=0>")
  # What the sanitizers add hides from GCC 12 that a value was set; the release preset asks this of the code as it is.
  add_compile_options(-Wno-maybe-uninitialized)
  add_link_options(-fsanitize=${OMNIWAY_SANITIZE})
endif()

# The base folder is the clone itself, whatever it is called; /usr/bin/env costs a millisecond per file.
find_program(OMNIWAY_CCACHE ccache)
if(OMNIWAY_CCACHE)
  set(CMAKE_CXX_COMPILER_LAUNCHER
    /usr/bin/env CCACHE_BASEDIR=${CMAKE_SOURCE_DIR} CCACHE_NOHASHDIR=1
    # Without these the cache refuses every file that uses a precompiled header; and the header itself counts as the sum beside it,
    # since its bytes differ from clone to clone.
    CCACHE_SLOPPINESS=pch_defines,time_macros CCACHE_PCH_EXTSUM=1 ${OMNIWAY_CCACHE})
endif()

# omniway_standard_headers(<target> [TESTS]): the headers of the standard library (and, for tests, of their two libraries) are parsed
# once and not in every file: a third of the time to build from nothing. Our own headers are never among them, so that floors
# stay visible in each file's list of includes; and every header of ours still compiles alone without them.
set(omniway_standard <algorithm> <array> <chrono> <cmath> <cstddef> <cstdint> <functional> <map> <memory> <optional> <set> <span>
  <string> <string_view> <tuple> <utility> <variant> <vector>)
# The tests themselves are not optimised (what they test is), nor do they carry debug information for the sanitizers: they run once
# for each time they are compiled, and these were a third of that.
set(omniway_tests_unoptimised -O0)
if(OMNIWAY_SANITIZE)
  list(APPEND omniway_tests_unoptimised -g0)
endif()
function(omniway_standard_headers target)
  set(kind plain)
  set(headers ${omniway_standard})
  if("TESTS" IN_LIST ARGN)
    set(kind tests)
    list(APPEND headers <gmock/gmock.h> <gtest/gtest.h>)
  endif()
  set(owner omniway_standard_${kind})
  if(NOT TARGET ${owner})
    file(CONFIGURE OUTPUT ${CMAKE_BINARY_DIR}/${owner}.cpp CONTENT "// Nothing: it carries the precompiled headers.\n" @ONLY)
    add_library(${owner} OBJECT ${CMAKE_BINARY_DIR}/${owner}.cpp)
    target_link_libraries(${owner} PRIVATE omniway_compile_options)
    if(kind STREQUAL "tests")
      target_link_libraries(${owner} PRIVATE GTest::gtest_main GTest::gmock)
      target_compile_options(${owner} PRIVATE ${omniway_tests_unoptimised})
    endif()
    target_precompile_headers(${owner} PRIVATE ${headers})
    # All that the precompiled header depends on besides what the cache keeps of each command by itself.
    file(CONFIGURE OUTPUT ${CMAKE_BINARY_DIR}/CMakeFiles/${owner}.dir/cmake_pch.hxx.gch.sum CONTENT
      "${headers} ${CMAKE_CXX_COMPILER_VERSION} ${CMAKE_CXX_FLAGS} ${CMAKE_BUILD_TYPE} ${OMNIWAY_SANITIZE} ${GTest_VERSION}\n" @ONLY)
  endif()
  target_precompile_headers(${target} REUSE_FROM ${owner})
  if(kind STREQUAL "tests")
    target_compile_options(${target} PRIVATE ${omniway_tests_unoptimised})
  endif()
endfunction()
