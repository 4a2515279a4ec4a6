# The engine as WebAssembly and the pages around it. One folder for all presets: neither depends on how the program is
# built. tools/wasm looks itself whether something is to do.
find_program(NODE node HINTS ${PROJECT_SOURCE_DIR}/.node/bin REQUIRED)
set(LICKWRIGHT_WASM ${PROJECT_SOURCE_DIR}/build/wasm/lickwright.wasm)
set(LICKWRIGHT_PRACTICE_WASM ${PROJECT_SOURCE_DIR}/build/wasm/practice.wasm)
add_custom_target(lickwright_wasm ALL COMMAND ${PROJECT_SOURCE_DIR}/tools/wasm ${PROJECT_SOURCE_DIR}/build/wasm
  BYPRODUCTS ${LICKWRIGHT_WASM} ${LICKWRIGHT_PRACTICE_WASM} COMMENT "The engine as WebAssembly" VERBATIM)

file(GLOB_RECURSE LICKWRIGHT_WEB CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/web/*.ts ${PROJECT_SOURCE_DIR}/web/*.css
     ${PROJECT_SOURCE_DIR}/web/*.html)
set(pages ${PROJECT_BINARY_DIR}/pages)
set(LICKWRIGHT_ELEMENTS ${pages}/lickwright-elements.js)
add_custom_command(OUTPUT ${pages}/practice.html ${LICKWRIGHT_ELEMENTS} ${pages}/writing.html
  COMMAND ${NODE} ${PROJECT_SOURCE_DIR}/tools/pages.mjs ${LICKWRIGHT_PRACTICE_WASM} ${LICKWRIGHT_WASM} ${pages}
  DEPENDS lickwright_wasm ${LICKWRIGHT_PRACTICE_WASM} ${LICKWRIGHT_WASM} ${LICKWRIGHT_WEB} ${PROJECT_SOURCE_DIR}/tools/pages.mjs
  COMMENT "The pages, but for their lessons" VERBATIM)
# Baked into the program: file and table.
set(LICKWRIGHT_PAGES_CPP)
foreach(part practice.html:practice_page_bytes lickwright-elements.js:elements_script_bytes writing.html:writing_page_bytes)
  string(REPLACE ":" ";" part ${part})
  list(GET part 0 file)
  list(GET part 1 name)
  add_custom_command(OUTPUT ${pages}/${name}.cpp
    COMMAND ${CMAKE_COMMAND} -DIN=${pages}/${file} -DOUT=${pages}/${name}.cpp -DNAMESPACE=lw::pack -DNAME=${name}
            -P ${PROJECT_SOURCE_DIR}/cmake/bake_bytes.cmake
    DEPENDS ${pages}/${file} ${PROJECT_SOURCE_DIR}/cmake/bake_bytes.cmake
    COMMENT "Baking ${file}" VERBATIM)
  list(APPEND LICKWRIGHT_PAGES_CPP ${pages}/${name}.cpp)
endforeach()
add_custom_target(lickwright_pages DEPENDS ${LICKWRIGHT_PAGES_CPP})
