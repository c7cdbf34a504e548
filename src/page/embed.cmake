# Writes assets.cpp: the files of the page as bytes of the program.
#   cmake -DFOLDER=page -DAPI=openapi.json -DOUT=assets.cpp -DWORK=folder -P embed.cmake
# Everything in FOLDER stands under the server's root. `.incbin` takes the bytes without a detour
# through text; the same files give the same program.
file(GLOB_RECURSE paths LIST_DIRECTORIES false RELATIVE "${FOLDER}" "${FOLDER}/*")
list(SORT paths)
set(lines "/api/openapi.json ${API}")
foreach(path IN LISTS paths)
  list(APPEND lines "/${path} ${FOLDER}/${path}")
endforeach()
set(symbols "")
set(table "")
set(number 0)

function(take_bytes file symbol)
  string(APPEND symbols "asm(\".section .rodata\\n${symbol}:\\n.incbin \\\"${file}\\\"\\n.byte 0\\n.previous\\n\");\n"
    "extern \"C\" const char ${symbol}[] __attribute__((visibility(\"hidden\")));\n")
  set(symbols "${symbols}" PARENT_SCOPE)
endfunction()

function(type_of path out)
  set(types "html=text/html@ charset=utf-8" "js=text/javascript@ charset=utf-8" "mjs=text/javascript@ charset=utf-8"
    "css=text/css@ charset=utf-8" "json=application/json" "wasm=application/wasm" "svg=image/svg+xml" "png=image/png"
    "webmanifest=application/manifest+json" "txt=text/plain@ charset=utf-8" "woff2=font/woff2")
  set(${out} "application/octet-stream" PARENT_SCOPE)
  foreach(type IN LISTS types)
    string(REGEX MATCH "^([^=]+)=(.+)$" known "${type}")
    if(path MATCHES "\\.${CMAKE_MATCH_1}$")
      string(REGEX MATCH "^([^=]+)=(.+)$" known "${type}")
      string(REPLACE "@" ";" words "${CMAKE_MATCH_2}")
      set(${out} "${words}" PARENT_SCOPE)
    endif()
  endforeach()
endfunction()

foreach(line IN LISTS lines)
  string(REGEX MATCH "^([^ ]+) (.+)$" whole "${line}")
  set(path "${CMAKE_MATCH_1}")
  set(file "${CMAKE_MATCH_2}")
  set(symbol "perrev_asset_${number}")
  file(SIZE "${file}" size)
  file(SHA256 "${file}" digest)
  string(SUBSTRING "${digest}" 0 32 digest)
  take_bytes("${file}" ${symbol})
  set(packed "${WORK}/${number}.gz")
  execute_process(COMMAND gzip -n -9 -c "${file}" OUTPUT_FILE "${packed}" COMMAND_ERROR_IS_FATAL ANY)
  file(SIZE "${packed}" packed_size)
  set(packed_view "{}")
  if(packed_size LESS size)
    take_bytes("${packed}" ${symbol}_gz)
    set(packed_view "{${symbol}_gz, ${packed_size}}")
  endif()
  type_of("${path}" type)
  string(APPEND table "    {\"${path}\", {${symbol}, ${size}}, ${packed_view}, \"${type}\", \"${digest}\"},\n")
  math(EXPR number "${number} + 1")
endforeach()

file(WRITE "${OUT}" "#include \"src/page/assets.h\"\n\n${symbols}
namespace perrev {

const Asset* find_asset(std::string_view path) {
  static const Asset assets[] = {
${table}  };
  for (const Asset& one : assets)
    if (one.path == path) return &one;
  return nullptr;
}

}  // namespace perrev\n")
