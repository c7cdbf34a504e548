#include "src/answers/asked.h"
#include "src/report/report.h"

namespace perrev {

Answered report_answer(const Asked& asked) {
  const std::string reader = asked.text("for");
  if (reader != "customer" && reader != "technician")
    return wrong("for", "a report is for nobody of this name", "customer or technician");
  const auto open = asked.open();
  if (!open) return open.error();
  ReportOptions options;
  options.units = asked.units();
  options.estimate = asked.text("estimate");
  const auto photos = asked.request.find("photos");
  options.photos = photos != asked.request.end() && photos->is_boolean() && photos->get<bool>();
  options.version = PERREV_VERSION;
  const Report report = report_of(
      asked.planner, *open, reader == "customer" ? Reader::customer : Reader::technician, options);
  return nlohmann::ordered_json{{"title", report.title}, {"html", report.html}};
}

}  // namespace perrev
