# A file as a C++ table, run with cmake -P: -DIN=file -DOUT=table.cpp -DNAMESPACE=lw::hear -DNAME=ear_weights.
# A file that is not there gives an empty table.
set(bytes "")
if(EXISTS ${IN})
  file(READ ${IN} hex HEX)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${hex}")
  string(REGEX REPLACE "(................................................................................)" "\\1\n" bytes "${bytes}")
endif()
get_filename_component(name ${IN} NAME)
file(WRITE ${OUT} "// Made from ${name} by cmake/bake_bytes.cmake while building.
#include <cstddef>
#include <cstdint>
namespace ${NAMESPACE} {
extern const std::uint8_t ${NAME}[];
extern const std::size_t ${NAME}_size;
const std::uint8_t ${NAME}[] = {${bytes}0};
const std::size_t ${NAME}_size = sizeof ${NAME} - 1;
}  // namespace ${NAMESPACE}
")
