// The columns of a file as a person is asked about them: files are made up.
#include <doctest/doctest.h>

#include <string>

#include "engine/recording/csv_header_columns.h"
#include "tests/engine/recording/read_back.h"

using namespace perrev;
using namespace perrev::recorded;

namespace {

struct ColumnsRow {
  const char* text;
  const char* columns;  // name[unit]=role first, each
};

const ColumnsRow kColumns[] = {
    {"Zeit;Kanal 1;v\n0,5;1,5;60\n0,6;1,5;60\n", "Zeit[]=time 0,5|Kanal 1[]= 1,5|v[]= 60"},
    {"time_s,az_g,az_mps2,gyro\n0,1,9.8,3\n1,1,9.8,3\n",
     "time_s[s]=time 0|az_g[g]=z 1|az_mps2[mps2]= 9.8|gyro[]= 3"},
    {"time;ch1;ch2\n[ms];[g];V\n0;1;2\n1;1;2\n", "time[ms]=time 0|ch1[g]= 1|ch2[]= 2"},
    {"Logger 4;17.3\nch;ch;\n0;1;2\n1;1;2\n", "column 1[]= 0|column 2[]= 1|column 3[]= 2"},
    {"0,1\n1,2\n", "column 1[]= 0|column 2[]= 1"},
    {"Beschl\xFC;b\n0;1\n1;1\n", "Beschl\xC3\xBC[]= 0|b[]= 1"},  // Latin-1
    {"\xEF\xBB\xBFtime_s,az_g\r\n0,1\r\n1,1\r\n", "time_s[s]=time 0|az_g[g]=z 1"},
    {"lorem ipsum, dolor\n", ""},
    {"", ""},
};

std::string said(const std::vector<FileColumn>& columns) {
  std::string out;
  for (const FileColumn& column : columns)
    out += (out.empty() ? "" : "|") + column.name + "[" + column.unit +
           "]=" + std::string(column.role ? name_of(*column.role) : "") + " " + column.first;
  return out;
}

}  // namespace

TEST_CASE("all columns of a file are told, with what they are read as") {
  for (const ColumnsRow& row : kColumns) {
    INFO(std::string(row.text));
    FileBeginning whole;
    whole.take(row.text);
    CHECK(said(whole.columns({})) == row.columns);
    FileBeginning cut;
    for (const char* at = row.text; *at; ++at) cut.take(std::string_view(at, 1));
    CHECK(said(cut.columns({})) == row.columns);
  }
}

TEST_CASE("a name that is told of a column is one by which it can be named") {
  for (const ColumnsRow& row : kColumns) {
    INFO(std::string(row.text));
    FileBeginning whole;
    whole.take(row.text);
    for (const FileColumn& column : whole.columns({})) {
      ReadingOptions options;
      options.columns = {{"time", ""}, {"x", ""},     {"y", ""},
                         {"z", ""},    {"speed", ""}, {"engine", column.name}};
      options.rows_per_second = 100.0;
      options.engine_unit = "rpm";
      const ReadBack read = read_back(row.text, options);
      CHECK(!read.refused);
      REQUIRE(read.columns.size() == 1);
      CHECK(read.columns[0].role == Role::engine);
      for (const FileColumn& again : whole.columns(options))
        CHECK(again.role.has_value() == (again.name == column.name));
    }
  }
}
