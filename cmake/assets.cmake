# Where the fonts lie that tools/setup brought from the npm registry.
set(LICKWRIGHT_TEXT_FONT_DIR ${PROJECT_SOURCE_DIR}/node_modules/@expo-google-fonts/atkinson-hyperlegible-next)
set(LICKWRIGHT_MUSIC_FONT ${PROJECT_SOURCE_DIR}/node_modules/@vexflow-fonts/bravura/bravura.otf)
foreach(font ${LICKWRIGHT_TEXT_FONT_DIR}/400Regular/AtkinsonHyperlegibleNext_400Regular.ttf
             ${LICKWRIGHT_TEXT_FONT_DIR}/700Bold/AtkinsonHyperlegibleNext_700Bold.ttf ${LICKWRIGHT_MUSIC_FONT})
  if(NOT EXISTS ${font})
    message(FATAL_ERROR "Missing font ${font}\nRun tools/setup first: it installs what the build needs.")
  endif()
endforeach()
