# A room is a folder of src/throughcure: one static library `room_NAME`, and, where there is a folder
# tests/unit/NAME, one test program `test_NAME`. Adding a file to the folder is enough.

# throughcure_room(NAME [DEPENDS room ...] [LIBRARIES target ...])
function(throughcure_room name)
  cmake_parse_arguments(ROOM "" "" "DEPENDS;LIBRARIES" ${ARGN})
  file(GLOB sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/${name}/*.cpp)
  file(GLOB headers CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/${name}/*.hpp)
  add_library(room_${name} STATIC ${sources} ${headers})
  set_target_properties(room_${name} PROPERTIES LINKER_LANGUAGE CXX)
  target_include_directories(room_${name} PUBLIC ${CMAKE_SOURCE_DIR}/src)
  target_link_libraries(room_${name} PUBLIC ${ROOM_LIBRARIES} PRIVATE throughcure_options)
  foreach(other ${ROOM_DEPENDS})
    target_link_libraries(room_${name} PUBLIC room_${other})
  endforeach()
endfunction()

# throughcure_patience(OUT SECONDS): how long a test may take: six times as long under the sanitizers.
function(throughcure_patience out seconds)
  if(CMAKE_CXX_FLAGS MATCHES "-fsanitize=")
    math(EXPR seconds "6 * ${seconds}")
  endif()
  set(${out} ${seconds} PARENT_SCOPE)
endfunction()

# throughcure_unit_tests(NAME [LIBRARIES target ...]): every tests/unit/NAME/*_test.cpp in one program.
# Properties get a fixed seed from ctest; run the program by hand to try others.
function(throughcure_unit_tests name)
  cmake_parse_arguments(UNIT "" "" "LIBRARIES" ${ARGN})
  file(GLOB sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/unit/${name}/*.cpp)
  if(NOT sources)
    return()
  endif()
  add_executable(test_${name} ${sources})
  target_link_libraries(test_${name} PRIVATE throughcure_options ${UNIT_LIBRARIES} GTest::gtest_main GTest::gmock)
  # Only where it is asked for: a path on every command line would keep the compiler cache from serving two checkouts.
  foreach(source ${sources})
    file(STRINGS ${source} asks REGEX THROUGHCURE_SOURCE_DIR LIMIT_COUNT 1)
    if(asks)
      set_property(SOURCE ${source} APPEND PROPERTY COMPILE_DEFINITIONS THROUGHCURE_SOURCE_DIR="${CMAKE_SOURCE_DIR}")
    endif()
  endforeach()
  target_include_directories(test_${name} PRIVATE ${CMAKE_SOURCE_DIR}/tests)
  throughcure_patience(patience 300)
  gtest_discover_tests(test_${name} TEST_PREFIX "${name}/" TEST_FILTER "-Slow/*" DISCOVERY_TIMEOUT 60
                       PROPERTIES TIMEOUT ${patience} ENVIRONMENT RC_PARAMS=seed=20049)
endfunction()
