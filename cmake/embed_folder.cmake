# Files embedded in the binary: the assembler's .incbin of each file and of its gzip form, and a table of them.

# throughcure_embed_folder(TARGET FUNCTION FOLDER [ONLY regex] [DEPENDS file ...])
#
# Makes the static library TARGET with one function, `base::EmbeddedFiles throughcure::embedded::FUNCTION()`, declared in
# "throughcure/embedded/FUNCTION.hpp". It returns every file below FOLDER (ONLY: those whose path below it fits), sorted
# by path. The folder is read when the binary is built, so it may be made by the build: then DEPENDS names what makes it.
function(throughcure_embed_folder target function folder)
  cmake_parse_arguments(EMBED "" "ONLY" "DEPENDS" ${ARGN})
  if(NOT EMBED_ONLY)
    set(EMBED_ONLY ".*")
  endif()
  set(out ${CMAKE_BINARY_DIR}/embedded/${function})
  set(header ${out}/include/throughcure/embedded/${function}.hpp)
  set(outputs ${out}/table.cpp ${out}/bytes.S ${header})
  # Without DEPENDS the folder is part of the source: a file that comes, goes or changes makes it anew.
  if(NOT EMBED_DEPENDS)
    file(GLOB_RECURSE EMBED_DEPENDS CONFIGURE_DEPENDS ${folder}/*)
    # A file that is gone is newer than nothing: the list itself is what changes.
    string(REPLACE ";" "\n" list "${EMBED_DEPENDS}")
    file(CONFIGURE OUTPUT ${out}/files.txt CONTENT "${list}\n" @ONLY)
    list(APPEND EMBED_DEPENDS ${out}/files.txt)
  endif()
  add_custom_command(
    OUTPUT ${outputs}
    COMMAND ${CMAKE_COMMAND} -DFUNCTION=${function} -DFOLDER=${folder} -DOUT=${out} -DHEADER=${header}
            -DONLY=${EMBED_ONLY} -P ${CMAKE_SOURCE_DIR}/cmake/write_embedded_folder.cmake
    DEPENDS ${EMBED_DEPENDS} ${CMAKE_SOURCE_DIR}/cmake/write_embedded_folder.cmake
    COMMENT "embedding ${folder}"
    VERBATIM)
  add_library(${target} STATIC ${outputs})
  set_target_properties(${target} PROPERTIES LINKER_LANGUAGE CXX)
  # The assembler reads the files anew only when it runs: bytes.S changes whenever a file does, since it holds the hashes.
  target_include_directories(${target} PUBLIC ${out}/include ${CMAKE_SOURCE_DIR}/src)
  target_link_libraries(${target} PRIVATE throughcure_options)
endfunction()
