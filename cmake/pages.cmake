# The engine as WebAssembly and the pages around it. One folder for all presets: neither depends on how the program is
# built. tools/wasm looks itself whether something is to do.
find_program(NODE node HINTS ${PROJECT_SOURCE_DIR}/.node/bin REQUIRED)
set(LICKWRIGHT_WASM ${PROJECT_SOURCE_DIR}/build/wasm/lickwright.wasm)
set(LICKWRIGHT_PRACTICE_WASM ${PROJECT_SOURCE_DIR}/build/wasm/practice.wasm)
add_custom_target(lickwright_wasm ALL COMMAND ${PROJECT_SOURCE_DIR}/tools/wasm ${PROJECT_SOURCE_DIR}/build/wasm
  BYPRODUCTS ${LICKWRIGHT_WASM} ${LICKWRIGHT_PRACTICE_WASM} COMMENT "The engine as WebAssembly" VERBATIM)

file(GLOB_RECURSE LICKWRIGHT_WEB CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/web/*.ts ${PROJECT_SOURCE_DIR}/web/*.css
     ${PROJECT_SOURCE_DIR}/web/*.html)
set(LICKWRIGHT_PRACTICE_PAGE ${PROJECT_BINARY_DIR}/pages/practice.html)
add_custom_command(OUTPUT ${LICKWRIGHT_PRACTICE_PAGE}
  COMMAND ${NODE} ${PROJECT_SOURCE_DIR}/tools/pages.mjs ${LICKWRIGHT_PRACTICE_WASM} ${PROJECT_BINARY_DIR}/pages
  DEPENDS lickwright_wasm ${LICKWRIGHT_PRACTICE_WASM} ${LICKWRIGHT_WEB} ${PROJECT_SOURCE_DIR}/tools/pages.mjs
  COMMENT "The practice page, but for its lesson" VERBATIM)
set(LICKWRIGHT_PAGES_CPP ${PROJECT_BINARY_DIR}/pages/practice_page_bytes.cpp)
add_custom_command(OUTPUT ${LICKWRIGHT_PAGES_CPP}
  COMMAND ${CMAKE_COMMAND} -DIN=${LICKWRIGHT_PRACTICE_PAGE} -DOUT=${LICKWRIGHT_PAGES_CPP} -DNAMESPACE=lw::pack
          -DNAME=practice_page_bytes -P ${PROJECT_SOURCE_DIR}/cmake/bake_bytes.cmake
  DEPENDS ${LICKWRIGHT_PRACTICE_PAGE} ${PROJECT_SOURCE_DIR}/cmake/bake_bytes.cmake
  COMMENT "Baking the practice page" VERBATIM)
add_custom_target(lickwright_pages DEPENDS ${LICKWRIGHT_PAGES_CPP})
