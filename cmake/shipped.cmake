# omniway_ship(<folder> <patterns...>): copies files of the repository to share/omniway/<folder>, beside the program in the
# build folder and under the prefix when installed, where the program looks for what comes with it.
function(omniway_ship folder)
  set(copies)
  foreach(pattern IN LISTS ARGN)
    file(GLOB files CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/${pattern})
    foreach(file IN LISTS files)
      cmake_path(GET file FILENAME name)
      set(copy ${CMAKE_BINARY_DIR}/share/omniway/${folder}/${name})
      add_custom_command(OUTPUT ${copy} DEPENDS ${file}
        COMMAND ${CMAKE_COMMAND} -E copy ${file} ${copy}
        COMMENT "Shipping ${folder}/${name}" VERBATIM)
      list(APPEND copies ${copy})
      install(FILES ${file} DESTINATION share/omniway/${folder})
    endforeach()
  endforeach()
  add_custom_target(omniway_shipped_${folder} ALL DEPENDS ${copies})
  if(TARGET omniway)
    add_dependencies(omniway omniway_shipped_${folder})
  endif()
endfunction()
