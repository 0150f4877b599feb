# omniway_embed_page(<target>): the built page goes into the target as a source of its own (tools/embed_page.py); none, where it
# is not built.
set(OMNIWAY_PAGE ${CMAKE_SOURCE_DIR}/web/dist CACHE PATH "The built page that the program carries")

function(omniway_embed_page target)
  file(GLOB_RECURSE files CONFIGURE_DEPENDS ${OMNIWAY_PAGE}/*)
  set(source ${CMAKE_BINARY_DIR}/page_files.cpp)
  add_custom_command(OUTPUT ${source}
    COMMAND Python3::Interpreter ${CMAKE_SOURCE_DIR}/tools/embed_page.py ${OMNIWAY_PAGE} ${source}
    DEPENDS ${CMAKE_SOURCE_DIR}/tools/embed_page.py ${files}
    COMMENT "Embedding the page" VERBATIM)
  target_sources(${target} PRIVATE ${source})
  # Bytes of a file are what they are: strings longer than the standard asks a compiler to take.
  set_source_files_properties(${source} PROPERTIES COMPILE_OPTIONS "-Wno-overlength-strings")
endfunction()
