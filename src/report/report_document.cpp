#include "src/report/html.h"
#include "src/report/report.h"

namespace perrev {

Report report_of(const Planner& planner, const OpenCase& open, Reader reader,
                 const ReportOptions& options) {
  const Diagnosis diagnosis = diagnose(planner, open.file, open.facts);
  const ReportedCase of{planner, open, diagnosis, options};
  return reader == Reader::customer ? customer_report(of) : technician_report(of);
}

std::string whole_document(const Report& report) {
  return "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
         "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
         "<meta name=\"color-scheme\" content=\"light dark\">\n<title>" +
         escaped_html(report.title) + "</title>\n<style>\n" + std::string(report_style()) +
         "</style>\n</head>\n<body class=\"report-page\">\n<main>\n" + report.html +
         "</main>\n</body>\n</html>\n";
}

}  // namespace perrev
