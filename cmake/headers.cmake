# Headers that many files include, compiled once, where no compiler cache does better: a quarter of a fresh build. A file includes
# what it uses all the same; a build with ccache shows it.

# What comes from such headers is no system header to g++ 12 any more: it warns of copies inside std::string. A build
# with ccache watches for these.
set(lickwright_quiet -Wno-array-bounds -Wno-stringop-overflow -Wno-stringop-overread)

# lickwright_headers(NAME LIBRARIES ... HEADERS ...): headers to share, as lickwright_NAME_headers.
function(lickwright_headers name)
  cmake_parse_arguments(SHARED "" "KIND" "LIBRARIES;OPTIONS;HEADERS" ${ARGN})
  if(CCACHE OR LICKWRIGHT_FUZZ)
    return()
  endif()
  # An executable is compiled for another place in memory than a library, so each kind has headers of its own.
  set(source ${PROJECT_BINARY_DIR}/headers/${name}.cpp)
  file(CONFIGURE OUTPUT ${source} CONTENT "int main() {}\n")
  if(SHARED_KIND STREQUAL "PROGRAM")
    add_executable(lickwright_${name}_headers ${source})
  else()
    add_library(lickwright_${name}_headers STATIC ${source})
  endif()
  target_link_libraries(lickwright_${name}_headers PRIVATE lickwright_flags ${SHARED_LIBRARIES})
  target_compile_options(lickwright_${name}_headers PRIVATE ${SHARED_OPTIONS} ${lickwright_quiet})
  target_precompile_headers(lickwright_${name}_headers PRIVATE ${SHARED_HEADERS})
endfunction()

# lickwright_share(TARGET NAME): the target takes the headers of that name, if there are any in this build.
function(lickwright_share target name)
  if(TARGET lickwright_${name}_headers)
    target_precompile_headers(${target} REUSE_FROM lickwright_${name}_headers)
    target_compile_options(${target} PRIVATE ${lickwright_quiet})
  endif()
endfunction()
