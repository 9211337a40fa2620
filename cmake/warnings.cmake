# What every target of ours is compiled with. Target `throughcure_options` carries it.
add_library(throughcure_options INTERFACE)
target_compile_options(throughcure_options INTERFACE
  -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wsign-conversion -Wold-style-cast -Wnon-virtual-dtor
  -Woverloaded-virtual -Wdouble-promotion -Wformat=2 -Werror
  # The same bits on every machine: no silent fused multiply-add.
  -ffp-contract=off)
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
  target_compile_options(throughcure_options INTERFACE -Wduplicated-cond -Wlogical-op -Wuseless-cast)
endif()
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
  # A false alarm of g++ 12 at -O3 on "text" + std::string (its bug 105651).
  target_compile_options(throughcure_options INTERFACE -Wno-restrict)
endif()
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_FLAGS MATCHES "-fsanitize")
  # What the sanitizers add hides from g++ that a variable was set; std::regex alone raises it ten times.
  target_compile_options(throughcure_options INTERFACE -Wno-maybe-uninitialized)
endif()
target_link_libraries(throughcure_options INTERFACE Threads::Threads)
