# add_floor(<name> USES <floors...> [LINKS <third-party targets...>] [TEST_USES <floors...>] [TEST_LINKS <targets...>])
#
# One floor of the house: src/<name>, with header, source and test side by side. It makes
#   omniway_<name>   a static library of src/<name>/*.cpp and src/<name>/detail/*.cpp that are neither a test nor main.cpp;
#   <name>_test      a test program of the *_test.cpp there, each test known to ctest by its own name;
# USES is the whole list of floors whose headers this one may reach, not only the nearest; tools/check_floors.py reads these
# same lines and holds the compiler's include lists against them. A floor without a folder yet is skipped, and
# so is it in the USES of others. LINKS is private: the types of a third-party library never appear in our headers.
#
# omniway_check_headers() compiles every header alone, where OMNIWAY_CHECK_HEADERS is on (the release preset).
#
# Labels: a test is `fast`; one in a suite whose name begins with Slow is `slow`; one with RealData in its suite's name is
# `real`. Tests run in the root of the repository.

option(OMNIWAY_CHECK_HEADERS "Compile every header alone" OFF)
set(OMNIWAY_JOIN_LINES 0 CACHE STRING "Compile the sources of a floor joined, up to so many lines together; 0: each alone")
set(OMNIWAY_JOIN_TEST_LINES 0 CACHE STRING "The same for the tests of a floor")
option(OMNIWAY_REACHED_ONLY "Leave out what no test of the floors can reach, the program among it" OFF)

include(GoogleTest)
find_package(Python3 REQUIRED COMPONENTS Interpreter)

# Third-party types in our public headers: this one only, and it is declared here.
set(omniway_public_library tl::expected)

if(OMNIWAY_REACHED_ONLY)
  file(GLOB omniway_test_sources CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/tests/*.cpp ${CMAKE_SOURCE_DIR}/tests/*.hpp)
  execute_process(
    COMMAND ${Python3_EXECUTABLE} ${CMAKE_SOURCE_DIR}/tools/reached_sources.py ${CMAKE_SOURCE_DIR}/src ${omniway_test_sources}
      ${CMAKE_SOURCE_DIR}/bench/continent.cpp ${CMAKE_SOURCE_DIR}/bench/published_graph.cpp ${CMAKE_SOURCE_DIR}/src/raster/main.cpp
    OUTPUT_VARIABLE omniway_reached COMMAND_ERROR_IS_FATAL ANY)
endif()

function(omniway_discover_tests target)
  set(slow "Slow*.*:*/Slow*.*")
  set(real "*RealData*.*")
  set(common
    WORKING_DIRECTORY ${CMAKE_SOURCE_DIR}
    DISCOVERY_TIMEOUT 120)
  gtest_discover_tests(${target} ${common} TEST_FILTER "-${slow}:${real}" PROPERTIES LABELS fast TIMEOUT 300)
  gtest_discover_tests(${target} ${common} TEST_FILTER "${slow}:-${real}" PROPERTIES LABELS slow TIMEOUT 1200)
  gtest_discover_tests(${target} ${common} TEST_FILTER "${real}" PROPERTIES LABELS real TIMEOUT 1200)
endfunction()

# omniway_join_sources(<variable> <name> <lines>): puts fewer files in place of the sources in the variable, each of so many lines
# together (tools/join_sources.py); 0: leaves them. One with compiler options of its own stays by itself, so that they hold there alone; so
# does the needle pilot, whose own include list is held against what it may see (NARROW in tools/check_floors.py).
function(omniway_join_sources variable name lines)
  set(sources ${${variable}})
  if(lines EQUAL 0 OR NOT sources)
    return()
  endif()
  set(excepted ${sources})
  list(FILTER excepted INCLUDE REGEX "/rehearsal/pilot\\.cpp$")
  foreach(source IN LISTS sources)
    get_source_file_property(options ${source} COMPILE_OPTIONS)
    if(options)
      list(APPEND excepted ${source})
    endif()
  endforeach()
  list(REMOVE_ITEM sources ${excepted})
  set(folder ${CMAKE_BINARY_DIR}/joined)
  execute_process(
    COMMAND ${Python3_EXECUTABLE} ${CMAKE_SOURCE_DIR}/tools/join_sources.py ${folder} ${name} ${lines} ${sources}
    OUTPUT_VARIABLE joined COMMAND_ERROR_IS_FATAL ANY)
  foreach(source IN LISTS joined)
    cmake_path(IS_PREFIX folder ${source} is_joined)
    if(is_joined)
      # A public class may have members of a type that its source keeps to itself; the compiler takes that source for a header here.
      set_source_files_properties(${source} PROPERTIES COMPILE_OPTIONS -Wno-subobject-linkage)
    endif()
  endforeach()
  set(${variable} ${joined} ${excepted} PARENT_SCOPE)
endfunction()

function(add_floor name)
  cmake_parse_arguments(PARSE_ARGV 1 floor "" "" "USES;LINKS;TEST_USES;TEST_LINKS")
  if(floor_UNPARSED_ARGUMENTS)
    message(FATAL_ERROR "add_floor(${name}): not understood: ${floor_UNPARSED_ARGUMENTS}")
  endif()
  set(folder ${CMAKE_SOURCE_DIR}/src/${name})
  file(GLOB sources CONFIGURE_DEPENDS ${folder}/*.cpp ${folder}/detail/*.cpp)
  file(GLOB headers CONFIGURE_DEPENDS ${folder}/*.hpp ${folder}/detail/*.hpp)
  if(NOT sources AND NOT headers)
    return()
  endif()
  set(tests ${sources})
  list(FILTER tests INCLUDE REGEX "_test\\.cpp$")
  list(FILTER sources EXCLUDE REGEX "(_test|/main)\\.cpp$")
  if(OMNIWAY_REACHED_ONLY)
    foreach(source IN LISTS sources)
      if(NOT source IN_LIST omniway_reached)
        list(REMOVE_ITEM sources ${source})
      endif()
    endforeach()
  endif()
  # A brute force is nearly all of its test's work, and is optimised after all (without the precompiled header, which is not).
  foreach(test IN LISTS tests)
    if(test MATCHES "_brute_test\\.cpp$")
      set_source_files_properties(${test} PROPERTIES COMPILE_OPTIONS -O1 SKIP_PRECOMPILE_HEADERS ON)
    endif()
  endforeach()
  omniway_join_sources(sources ${name} ${OMNIWAY_JOIN_LINES})
  omniway_join_sources(tests ${name}_test ${OMNIWAY_JOIN_TEST_LINES})

  set(library omniway_${name})
  if(sources)
    add_library(${library} STATIC ${sources})
    target_link_libraries(${library} PRIVATE omniway_compile_options fmt::fmt ${floor_LINKS})
    omniway_standard_headers(${library})
    set(visibility PUBLIC)
  else()
    add_library(${library} INTERFACE)
    target_link_libraries(${library} INTERFACE ${floor_LINKS})
    set(visibility INTERFACE)
  endif()
  target_link_libraries(${library} ${visibility} ${omniway_public_library})
  foreach(used IN LISTS floor_USES)
    if(TARGET omniway_${used})
      target_link_libraries(${library} ${visibility} omniway_${used})
    endif()
  endforeach()

  if(tests)
    add_executable(${name}_test ${tests})
    target_link_libraries(${name}_test PRIVATE omniway_compile_options omniway_testing ${library} fmt::fmt
      ${floor_TEST_LINKS})
    omniway_standard_headers(${name}_test TESTS)
    foreach(used IN LISTS floor_TEST_USES)
      if(TARGET omniway_${used})
        target_link_libraries(${name}_test PRIVATE omniway_${used})
      endif()
    endforeach()
    omniway_discover_tests(${name}_test)
  endif()

  foreach(header IN LISTS headers)
    cmake_path(RELATIVE_PATH header BASE_DIRECTORY ${CMAKE_SOURCE_DIR}/src)
    set_property(GLOBAL APPEND PROPERTY OMNIWAY_HEADERS ${header})
  endforeach()
  set_property(GLOBAL APPEND PROPERTY OMNIWAY_FLOORS ${name})
endfunction()

# omniway_check_headers(): after all floors, the headers of all of them compiled alone, in chains (tools/chain_headers.py).
function(omniway_check_headers)
  if(NOT OMNIWAY_CHECK_HEADERS)
    return()
  endif()
  get_property(headers GLOBAL PROPERTY OMNIWAY_HEADERS)
  execute_process(
    COMMAND ${Python3_EXECUTABLE} ${CMAKE_SOURCE_DIR}/tools/chain_headers.py ${CMAKE_SOURCE_DIR}/src ${CMAKE_BINARY_DIR}/headers ${headers}
    OUTPUT_VARIABLE chains COMMAND_ERROR_IS_FATAL ANY)
  add_library(omniway_headers OBJECT ${chains})
  target_compile_options(omniway_headers PRIVATE -O0)
  target_link_libraries(omniway_headers PRIVATE omniway_compile_options ${omniway_public_library})
endfunction()
