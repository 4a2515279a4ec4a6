# Where the fonts lie that tools/setup brought from the npm registry.
set(LICKWRIGHT_TEXT_FONT_DIR ${PROJECT_SOURCE_DIR}/node_modules/@expo-google-fonts/atkinson-hyperlegible-next)
set(LICKWRIGHT_MUSIC_FONT ${PROJECT_SOURCE_DIR}/node_modules/@vexflow-fonts/bravura/bravura.otf)
foreach(font ${LICKWRIGHT_TEXT_FONT_DIR}/400Regular/AtkinsonHyperlegibleNext_400Regular.ttf
             ${LICKWRIGHT_TEXT_FONT_DIR}/700Bold/AtkinsonHyperlegibleNext_700Bold.ttf ${LICKWRIGHT_MUSIC_FONT})
  if(NOT EXISTS ${font})
    message(FATAL_ERROR "Missing font ${font}\nRun tools/setup first: it installs what the build needs.")
  endif()
endforeach()

# A program of the build turns the fonts into C++ tables (tools/bake). It runs on this machine whatever the project is
# built for, without sanitizers: what it writes is the same everywhere.
find_package(PkgConfig REQUIRED)
pkg_check_modules(FREETYPE REQUIRED IMPORTED_TARGET freetype2)
add_executable(bake_fonts ${PROJECT_SOURCE_DIR}/tools/bake/bake_fonts.cpp)
target_link_libraries(bake_fonts PRIVATE PkgConfig::FREETYPE)

set(LICKWRIGHT_TEXT_FONT_REGULAR ${LICKWRIGHT_TEXT_FONT_DIR}/400Regular/AtkinsonHyperlegibleNext_400Regular.ttf)
set(LICKWRIGHT_TEXT_FONT_BOLD ${LICKWRIGHT_TEXT_FONT_DIR}/700Bold/AtkinsonHyperlegibleNext_700Bold.ttf)
set(LICKWRIGHT_BAKED_DIR ${PROJECT_BINARY_DIR}/baked)
set(LICKWRIGHT_BAKED_SOURCES ${LICKWRIGHT_BAKED_DIR}/text_metrics.cpp ${LICKWRIGHT_BAKED_DIR}/text_outlines.cpp
    ${LICKWRIGHT_BAKED_DIR}/music_glyphs.cpp)
file(MAKE_DIRECTORY ${LICKWRIGHT_BAKED_DIR})
add_custom_command(OUTPUT ${LICKWRIGHT_BAKED_SOURCES}
  COMMAND bake_fonts ${LICKWRIGHT_TEXT_FONT_REGULAR} ${LICKWRIGHT_TEXT_FONT_BOLD} ${LICKWRIGHT_MUSIC_FONT}
          ${LICKWRIGHT_BAKED_DIR}
  DEPENDS ${LICKWRIGHT_TEXT_FONT_REGULAR} ${LICKWRIGHT_TEXT_FONT_BOLD} ${LICKWRIGHT_MUSIC_FONT}
  COMMENT "Baking the fonts into tables" VERBATIM)
add_custom_target(baked_fonts DEPENDS ${LICKWRIGHT_BAKED_SOURCES})

# The fonts are part of the program; the licence wants its text beside every copy (SIL Open Font License 1.1, 2).
include(GNUInstallDirs)
install(FILES ${LICKWRIGHT_TEXT_FONT_DIR}/LICENSE_FONT DESTINATION ${CMAKE_INSTALL_DOCDIR}
        RENAME OFL-Atkinson-Hyperlegible-Next.txt)
install(FILES ${PROJECT_SOURCE_DIR}/node_modules/@vexflow-fonts/bravura/LICENSE.txt
        DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME OFL-Bravura.txt)
