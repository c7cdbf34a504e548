#include "engine/knowledge/fields.h"
#include "engine/knowledge/loader.h"

namespace perrev {

void Loader::flow_chart(const FileReader& reader, const YamlNode& root) {
  for (const YamlNode& item : root.items) {
    const Record record(reader, item, chart_fields(), "step", item.line, item.column);
    if (record.given("check") == record.given("repair"))
      reader.fault(item, "a step is either checks or a repair",
                   "check: [...] or repair: repair_id");
    ChartStep made;
    made.place = reader.place(item.line, item.column);
    for (const Word& word : record.words("check")) {
      const int check = known(reader, word, "check", base.check_by_id, whole("checks.yaml"));
      if (check >= 0) made.checks.push_back(check);
    }
    if (record.has("repair"))
      made.repair =
          known(reader, record.word("repair"), "repair", base.repair_by_id, whole("repairs.yaml"));
    if (const YamlNode* node = record.node("when")) made.when = condition(reader, *node);
    base.flow_chart.push_back(std::move(made));
  }
}

}  // namespace perrev
