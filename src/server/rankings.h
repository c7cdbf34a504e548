// New rankings for whoever has just added to a case.
//
// While one is worked out for a case, all who ask for the same case meanwhile wait for the next
// one, which serves them together: the work is bound by the number of cases and not by the number
// of additions. A ranking was begun after the additions of everyone it is given to.
#pragma once

#include <condition_variable>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "src/server/workers.h"

namespace perrev {

class Rankings {
 public:
  using Text = std::shared_ptr<const std::string>;
  using Done = std::function<void(Text)>;  // on a thread of the workers; null: too much waits

  // `rank` gives the ranking of a case as it stands now.
  Rankings(Workers& workers, std::function<std::string(const std::string&)> rank)
      : workers_(workers), rank_(std::move(rank)) {}
  ~Rankings();  // when the last one is given
  Rankings(const Rankings&) = delete;
  Rankings& operator=(const Rankings&) = delete;

  void want(const std::string& case_id, Done done);

 private:
  void work(const std::string& case_id);

  Workers& workers_;
  std::function<std::string(const std::string&)> rank_;
  std::mutex mutex_;
  std::condition_variable none_;
  std::map<std::string, std::vector<Done>> waiting_;  // of cases that are being ranked
};

}  // namespace perrev
