// Content made smaller on the way, for those who take it so (RFC 9110, 8.4 and 12.5.3).
#pragma once

#include <string>
#include <string_view>

#include "src/server/request.h"
#include "src/server/response.h"

namespace perrev {

// Whether a list of a header has the word, and not with a weight of 0.
bool lists(std::string_view header, std::string_view word);
bool takes_gzip(const Request& request);

// gzip (RFC 1952). Empty when there is no memory for it.
std::string gzipped(std::string_view bytes);

// JSON that is long enough to be worth it goes as gzip to those who take it; the rest stays.
Response coded(Response response, const Request& request);

}  // namespace perrev
