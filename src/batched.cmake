# PERREV_BATCHED: for a build from scratch, what most files include is read once (precompiled headers), and the
# commands are compiled several at a time, as nearly all of their time goes into CLI11. A missing include does not show
# so, which is why one of the builds of .ci/run stays without.
set(standard <algorithm> <array> <cmath> <cstdint> <functional> <map> <memory> <optional> <set> <sstream> <string>
  <string_view> <tuple> <utility> <variant> <vector>)
target_precompile_headers(perrev_engine PRIVATE ${standard})
target_precompile_headers(perrev_answers PRIVATE ${standard} <filesystem> <nlohmann/json.hpp>)

function(reuse_headers_of from)
  foreach(target IN LISTS ARGN)
    if(TARGET ${target})
      target_precompile_headers(${target} REUSE_FROM ${from})
    endif()
  endforeach()
endfunction()
reuse_headers_of(perrev_engine perrev_engine_tests)
reuse_headers_of(perrev_answers perrev_store perrev_server perrev_app_tests perrev_store_tests perrev_server_tests perrev_fault_tests)

set_target_properties(perrev_app PROPERTIES UNITY_BUILD ON UNITY_BUILD_BATCH_SIZE 9)
