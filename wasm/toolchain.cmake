# WebAssembly with nothing but Debian's clang 19, WASI's C library and LLVM's C++ library: near-full C++20, no JavaScript
# glue. Packages: clang-19 lld-19 llvm-19 wasi-libc libc++-19-dev-wasm32 libclang-rt-19-dev-wasm32.
set(CMAKE_SYSTEM_NAME Generic)
set(CMAKE_SYSTEM_PROCESSOR wasm32)
find_program(LICKWRIGHT_WASM_CLANG clang++-19 REQUIRED)
set(CMAKE_CXX_COMPILER ${LICKWRIGHT_WASM_CLANG})
set(CMAKE_CXX_COMPILER_TARGET wasm32-wasi)
find_program(CMAKE_AR llvm-ar-19 REQUIRED)
set(CMAKE_RANLIB ":")
# A module without main cannot be linked by CMake's own trial.
set(CMAKE_TRY_COMPILE_TARGET_TYPE STATIC_LIBRARY)
