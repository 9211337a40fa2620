# Files inside the binary. throughcure_embed(NAME FILE ...) makes a library `embedded_NAME` that holds the bytes and the
# table `throughcure_NAME_files` of `throughcure_NAME_count` entries {name, name size, bytes, size}; a file's name is its
# base name. See exchange/embedded_reference.cpp for the reading side.
function(throughcure_embed name)
  set(rows "")
  set(bodies "")
  set(i 0)
  foreach(file ${ARGN})
    get_filename_component(base ${file} NAME)
    string(APPEND bodies "name${i}: .ascii \"${base}\"\nname${i}_end:\nbody${i}: .incbin \"${file}\"\nbody${i}_end: .byte 0\n")
    string(APPEND rows ".quad name${i}, name${i}_end - name${i}, body${i}, body${i}_end - body${i}\n")
    math(EXPR i "${i} + 1")
  endforeach()
  set(assembly ${CMAKE_CURRENT_BINARY_DIR}/embedded_${name}.s)
  file(CONFIGURE OUTPUT ${assembly} @ONLY CONTENT ".section .rodata
${bodies}.section .data.rel.ro, \"aw\"
.balign 8
.global throughcure_${name}_files
throughcure_${name}_files:
${rows}.global throughcure_${name}_count
throughcure_${name}_count: .quad ${i}
.section .note.GNU-stack, \"\", %progbits
")
  add_library(embedded_${name} STATIC ${assembly})
  # The assembler reads the files behind the build's back.
  set_source_files_properties(${assembly} PROPERTIES OBJECT_DEPENDS "${ARGN}")
endfunction()
