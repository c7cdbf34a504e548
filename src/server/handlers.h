// The answers of the API, one function a route: a call in, a response out. Those with a Done answer
// after a commit, on another thread.
#pragma once

#include "src/server/api.h"
#include "src/server/routes.h"

namespace perrev {

// about.cpp
Response get_openapi(Api& api, const Call& call);
Response get_about(Api& api, const Call& call);
Response get_rules(Api& api, const Call& call);
Response post_session(Api& api, const Call& call);
Response delete_session(Api& api, const Call& call);

// cases.cpp
Response get_cases(Api& api, const Call& call);
Response get_case(Api& api, const Call& call);
void put_case(Api& api, Call call, const Done& done);
void patch_case(Api& api, Call call, const Done& done);
Response get_case_events(Api& api, const Call& call);
Response get_events(Api& api, const Call& call);

// additions.cpp
void post_entries(Api& api, Call call, const Done& done);
void post_photo(Api& api, Call call, const Done& done);
Response get_photo(Api& api, const Call& call);

// case_answers.cpp
Response get_diagnosis(Api& api, const Call& call);
Response get_plan(Api& api, const Call& call);
Response get_road(Api& api, const Call& call);
Response get_report(Api& api, const Call& call);
Response post_answer(Api& api, const Call& call);

}  // namespace perrev
