# lickwright_room(NAME DEPENDS ...): every .cpp beside the calling CMakeLists.txt is one library, lickwright_NAME. HEADERS
# names the headers it shares with others (cmake/headers.cmake).
# Rooms of the engine are built without exceptions across their border and without RTTI where WebAssembly needs it.
function(lickwright_room name)
  cmake_parse_arguments(ROOM "" "HEADERS" "DEPENDS;PRIVATE" ${ARGN})
  file(GLOB sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/*.cpp)
  if(sources)
    add_library(lickwright_${name} STATIC ${sources})
    target_link_libraries(lickwright_${name} PUBLIC lickwright_flags ${ROOM_DEPENDS} PRIVATE ${ROOM_PRIVATE})
    if(ROOM_HEADERS)
      lickwright_share(lickwright_${name} ${ROOM_HEADERS})
    endif()
  else()
    add_library(lickwright_${name} INTERFACE)
    target_link_libraries(lickwright_${name} INTERFACE lickwright_flags ${ROOM_DEPENDS})
  endif()
endfunction()

# lickwright_test(NAME DEPENDS ...): every *_test.cpp beside the calling CMakeLists.txt in one program, found by ctest.
function(lickwright_test name)
  cmake_parse_arguments(TEST "" "" "DEPENDS" ${ARGN})
  file(GLOB sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/*_test.cpp)
  if(NOT sources)
    return()
  endif()
  add_executable(test_${name} ${sources})
  target_link_libraries(test_${name} PRIVATE lickwright_flags ${TEST_DEPENDS} GTest::gmock GTest::gtest_main)
  # Test code is compiled often and runs briefly: what it tests is optimised, it is not.
  target_compile_options(test_${name} PRIVATE -O1)
  lickwright_share(test_${name} tests)
  target_compile_definitions(test_${name} PRIVATE LICKWRIGHT_SOURCE_DIR="${PROJECT_SOURCE_DIR}"
    LICKWRIGHT_BUILD_DIR="${PROJECT_BINARY_DIR}")
  # RapidCheck takes its seed from RC_PARAMS, so that every run tries the same cases.
  gtest_discover_tests(test_${name} TEST_PREFIX "${name}." DISCOVERY_TIMEOUT 60
    PROPERTIES TIMEOUT 300 ENVIRONMENT "RC_PARAMS=seed=20260306")
endfunction()
