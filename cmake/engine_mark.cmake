# Which engine computed a number: a mark of the sources and tables that the number follows from.

# throughcure_engine_mark(TARGET FILE ...)
#
# Makes the interface library TARGET with the header "throughcure/embedded/engine_mark.hpp": `kEngineMark`, eight
# hexadecimal digits of the files' SHA-256. It changes with any of them and with nothing else, so that what was computed
# by another method is never taken for this program's own, whatever the version number says.
function(throughcure_engine_mark target)
  set(out ${CMAKE_BINARY_DIR}/embedded/engine_mark)
  set(header ${out}/include/throughcure/embedded/engine_mark.hpp)
  set(files ${ARGN})
  list(SORT files)
  string(REPLACE ";" "\n" list "${files}")
  file(CONFIGURE OUTPUT ${out}/files.txt CONTENT "${list}\n" @ONLY)
  add_custom_command(
    OUTPUT ${header}
    COMMAND ${CMAKE_COMMAND} -DLIST=${out}/files.txt -DROOT=${CMAKE_SOURCE_DIR} -DHEADER=${header}
            -P ${CMAKE_SOURCE_DIR}/cmake/write_engine_mark.cmake
    DEPENDS ${files} ${out}/files.txt ${CMAKE_SOURCE_DIR}/cmake/write_engine_mark.cmake
    COMMENT "marking the engine"
    VERBATIM)
  add_custom_target(${target}_made DEPENDS ${header})
  add_library(${target} INTERFACE)
  add_dependencies(${target} ${target}_made)
  target_include_directories(${target} INTERFACE ${out}/include)
endfunction()
