# The outer side of PERREV_WASM: runs the inner build by emscripten, which has the same root and so
# the same lists of sources. Makes ${CMAKE_BINARY_DIR}/page/engine.mjs and engine.wasm, target
# perrev_wasm. The inner build decides what is out of date.
include(ExternalProject)
include(ProcessorCount)
find_program(PERREV_EMCMAKE emcmake REQUIRED)
find_path(PERREV_JSON_HEADERS nlohmann/json.hpp REQUIRED)
get_target_property(PERREV_EIGEN_HEADERS Eigen3::Eigen INTERFACE_INCLUDE_DIRECTORIES)
ProcessorCount(cores)

set(page_folder ${CMAKE_BINARY_DIR}/page)
ExternalProject_Add(perrev_wasm
  SOURCE_DIR ${PROJECT_SOURCE_DIR}
  BINARY_DIR ${CMAKE_BINARY_DIR}/wasm
  PREFIX ${CMAKE_BINARY_DIR}/wasm_steps
  CONFIGURE_COMMAND ${PERREV_EMCMAKE} ${CMAKE_COMMAND} -S <SOURCE_DIR> -B <BINARY_DIR>
    -G ${CMAKE_GENERATOR}
    -DCMAKE_BUILD_TYPE=Release
    -DCMAKE_CXX_COMPILER_LAUNCHER=${CMAKE_CXX_COMPILER_LAUNCHER}
    -DPERREV_WERROR=${PERREV_WERROR}
    -DPERREV_HEADERS=${PERREV_JSON_HEADERS}
    -DPERREV_EIGEN_HEADERS=${PERREV_EIGEN_HEADERS}
    -DPERREV_PAGE_FOLDER=${page_folder}
  # Debian's emscripten needs Debian's acorn, which another node does not look for there.
  BUILD_COMMAND ${CMAKE_COMMAND} -E env NODE_PATH=/usr/share/nodejs
    ${CMAKE_COMMAND} --build <BINARY_DIR> --parallel ${cores} --target engine
  BUILD_ALWAYS TRUE
  INSTALL_COMMAND ""
  BUILD_BYPRODUCTS ${page_folder}/engine.mjs ${page_folder}/engine.wasm
  LOG_CONFIGURE TRUE LOG_BUILD TRUE LOG_OUTPUT_ON_FAILURE TRUE)
