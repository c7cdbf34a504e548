# What stands for find_package where the engine is compiled for the page: the headers of Boost, Eigen,
# kissfft and nlohmann_json alone. -I/usr/include would mix the machine's own headers with those of
# emscripten.
set(page_headers ${CMAKE_BINARY_DIR}/headers)
file(MAKE_DIRECTORY ${page_headers})
foreach(library boost kissfft nlohmann)
  if(NOT EXISTS ${PERREV_HEADERS}/${library})
    message(FATAL_ERROR "no ${library}/ in ${PERREV_HEADERS}")
  endif()
  file(CREATE_LINK ${PERREV_HEADERS}/${library} ${page_headers}/${library} SYMBOLIC)
endforeach()

file(CREATE_LINK ${PERREV_EIGEN_HEADERS}/Eigen ${page_headers}/Eigen SYMBOLIC)

set(Boost_INCLUDE_DIRS ${page_headers})
add_library(nlohmann_json::nlohmann_json INTERFACE IMPORTED)
set_target_properties(nlohmann_json::nlohmann_json PROPERTIES
  INTERFACE_INCLUDE_DIRECTORIES ${page_headers})

add_library(Eigen3::Eigen INTERFACE IMPORTED)
set_target_properties(Eigen3::Eigen PROPERTIES INTERFACE_INCLUDE_DIRECTORIES ${page_headers})

# For size: it crosses the network. -O2 is 46 % larger compressed.
set(CMAKE_CXX_FLAGS_RELEASE "-Os -DNDEBUG")
add_compile_options(-fwasm-exceptions)
add_link_options(-fwasm-exceptions)
