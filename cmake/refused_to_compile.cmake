# add_refused_to_compile(<name> <file> [LINKS <targets...>]): proves that wrong code does not compile.
#
# <file> holds snippets between #if SNIPPET == 0, #elif SNIPPET == 1, ... #endif. Snippet 0 is the control and must compile;
# each other is a test of its own, which passes when the compiler refuses it, and with the words that its line asks for:
#   #elif SNIPPET == 2  // a length is not a speed; says: no match for 'operator='
# The form is tools/refused_to_compile.py's. Where the sanitizers are on, nothing is added: they do not change the answer.

find_package(Python3 REQUIRED COMPONENTS Interpreter)

function(add_refused_to_compile name file)
  if(OMNIWAY_SANITIZE)
    return()
  endif()
  cmake_path(ABSOLUTE_PATH file)
  set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${file})
  file(READ ${file} text)
  string(REGEX MATCHALL "#(el)?if SNIPPET ==[ \\\n]+[0-9]+" lines "${text}")
  string(REGEX REPLACE "[^0-9;]" "" numbers "${lines}")
  list(LENGTH numbers count)
  if(NOT 0 IN_LIST numbers OR count LESS 2)
    message(FATAL_ERROR "${file} needs a control (#if SNIPPET == 0) and at least one snippet that must not compile")
  endif()
  # What the snippets include is parsed once for all of them; where that came to nothing, the compiler reads the header itself.
  string(REGEX MATCHALL "#include [^\n]+" includes "${text}")
  list(JOIN includes "\n" includes)
  set(header ${CMAKE_CURRENT_BINARY_DIR}/refused/${name}.hpp)
  file(CONFIGURE OUTPUT ${header} CONTENT "#pragma once\n${includes}\n" @ONLY)
  set(compile ${CMAKE_CXX_COMPILER} -std=c++20 -I${CMAKE_SOURCE_DIR}/src)
  add_test(NAME RefusedToCompile.${name}.Included COMMAND ${compile} -x c++-header ${header} -o ${header}.gch)
  set_tests_properties(RefusedToCompile.${name}.Included PROPERTIES LABELS fast TIMEOUT 120 FIXTURES_SETUP refused_${name})
  foreach(number IN LISTS numbers)
    set(test "RefusedToCompile.${name}.${number}")
    if(number EQUAL 0)
      string(APPEND test ".Control")
    endif()
    add_test(NAME ${test}
      COMMAND Python3::Interpreter ${CMAKE_SOURCE_DIR}/tools/refused_to_compile.py ${file} ${number}
              ${compile} -include ${header})
    set_tests_properties(${test} PROPERTIES LABELS fast TIMEOUT 120 FIXTURES_REQUIRED refused_${name})
  endforeach()
endfunction()
