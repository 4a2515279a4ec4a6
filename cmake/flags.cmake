# Flags of every target. Floating point: no fused multiply-add behind our back and never -ffast-math, so that the same
# input gives the same decisions natively and in WebAssembly.
add_library(lickwright_flags INTERFACE)
target_compile_options(lickwright_flags INTERFACE
  -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wno-sign-conversion -Wnon-virtual-dtor -Wold-style-cast
  -Wimplicit-fallthrough -Werror -fno-math-errno -ffp-contract=off)
if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
  # With the sanitizers' checks in it, <regex> looks uninitialised to g++ 12, which its manual warns of.
  if(LICKWRIGHT_SANITIZE)
    target_compile_options(lickwright_flags INTERFACE -Wno-maybe-uninitialized)
  endif()
  # g++ 12 sees overlapping copies in `"text" + std::string` where there are none (GCC bug 105651).
  target_compile_options(lickwright_flags INTERFACE -Wno-restrict)
endif()
target_include_directories(lickwright_flags INTERFACE ${PROJECT_SOURCE_DIR})
if(LICKWRIGHT_SANITIZE)
  target_compile_options(lickwright_flags INTERFACE -fsanitize=address,undefined -fno-sanitize-recover=all
    -fno-omit-frame-pointer -g1 -O1)  # more would cost minutes and find no more
  target_link_options(lickwright_flags INTERFACE -fsanitize=address,undefined)
endif()
if(LICKWRIGHT_COVERAGE)
  target_compile_options(lickwright_flags INTERFACE --coverage -O0)
  target_link_options(lickwright_flags INTERFACE --coverage)
endif()
if(LICKWRIGHT_FUZZ)
  # clang 19 warns of what libstdc++ 12 itself calls inside std::stable_sort.
  target_compile_options(lickwright_flags INTERFACE -Wno-deprecated-declarations)
  target_compile_options(lickwright_flags INTERFACE -fsanitize=fuzzer-no-link,address,undefined
    -fno-sanitize-recover=all -fprofile-instr-generate -fcoverage-mapping)
  target_link_options(lickwright_flags INTERFACE -fsanitize=address,undefined -fprofile-instr-generate)
endif()
