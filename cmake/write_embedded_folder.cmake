# Run by throughcure_embed_folder while building: writes the table, the assembler file and the header for one folder.
# In: FUNCTION, FOLDER, OUT, HEADER, ONLY.
cmake_minimum_required(VERSION 3.25)

file(GLOB_RECURSE paths RELATIVE ${FOLDER} ${FOLDER}/*)
list(FILTER paths INCLUDE REGEX "${ONLY}")
list(SORT paths)
file(REMOVE_RECURSE ${OUT}/gzip)
file(MAKE_DIRECTORY ${OUT}/gzip)

set(bytes "// Made by cmake/write_embedded_folder.cmake.\n        .section .rodata\n")
set(symbols "")
set(rows "")
set(index 0)
foreach(path IN LISTS paths)
  set(file ${FOLDER}/${path})
  file(SHA256 ${file} hash)
  file(SIZE ${file} size)
  # A file's own time must not be in the compressed form: the same files give the same binary.
  set(gzip ${OUT}/gzip/${index}.gz)
  file(ARCHIVE_CREATE OUTPUT ${gzip} PATHS ${file} FORMAT raw COMPRESSION GZip MTIME "1970-01-01 00:00:00 UTC")
  file(SIZE ${gzip} gzip_size)
  set(name "throughcure_embedded_${FUNCTION}_${index}")
  string(APPEND bytes
    "// ${path} ${hash}\n        .globl ${name}\n${name}:\n        .incbin \"${file}\"\n"
    "        .globl ${name}_gz\n${name}_gz:\n        .incbin \"${gzip}\"\n")
  string(APPEND symbols "extern const char ${name}[];\nextern const char ${name}_gz[];\n")
  if(gzip_size LESS size)
    set(compressed "{${name}_gz, ${gzip_size}}")
  else()
    set(compressed "{}")
  endif()
  string(APPEND rows "    {\"${path}\", {${name}, ${size}}, ${compressed}, \"${hash}\"},\n")
  math(EXPR index "${index} + 1")
endforeach()
string(APPEND bytes "        .section .note.GNU-stack,\"\",%progbits\n")

set(table "// Made by cmake/write_embedded_folder.cmake.\n#include \"throughcure/embedded/${FUNCTION}.hpp\"\n\n")
if(index EQUAL 0)
  string(APPEND table
    "namespace throughcure::embedded {\nbase::EmbeddedFiles ${FUNCTION}() { return {}; }\n}\n")
else()
  string(APPEND table
    "#include <array>\n\nextern \"C\" {\n${symbols}}\n\nnamespace throughcure::embedded {\n"
    "base::EmbeddedFiles ${FUNCTION}() {\n"
    "  static const std::array<base::EmbeddedFile, ${index}> files{{\n${rows}  }};\n  return files;\n}\n}\n")
endif()

file(WRITE ${OUT}/bytes.S "${bytes}")
file(WRITE ${OUT}/table.cpp "${table}")
file(WRITE ${HEADER}
  "// Made by cmake/write_embedded_folder.cmake.\n#pragma once\n\n#include \"throughcure/base/embedded.hpp\"\n\n"
  "namespace throughcure::embedded {\n\n/// The files below ${FUNCTION}.\nbase::EmbeddedFiles ${FUNCTION}();\n\n}\n")
