# Run by throughcure_engine_mark while building: writes the header. In: LIST (a file of paths), ROOT, HEADER.
cmake_minimum_required(VERSION 3.25)

file(STRINGS ${LIST} files)
set(all "")
foreach(file IN LISTS files)
  file(SHA256 ${file} hash)
  # By its place in the checkout: the same sources give the same mark in every folder.
  file(RELATIVE_PATH path ${ROOT} ${file})
  string(APPEND all "${path} ${hash}\n")
endforeach()
string(SHA256 mark "${all}")
string(SUBSTRING ${mark} 0 8 mark)
# Left alone where it says so already: then nothing is compiled again.
file(CONFIGURE OUTPUT ${HEADER} CONTENT
  "// Made by cmake/write_engine_mark.cmake.\n#pragma once\n\nnamespace throughcure::embedded {\n\n/// Of the sources and tables that a computed number follows from.\ninline constexpr char kEngineMark[] = \"${mark}\";\n\n}\n"
  @ONLY)
