#include "engine/bench/rule_changes.h"

#include <algorithm>
#include <set>
#include <tuple>

namespace perrev {

namespace {

using Things = std::vector<const RuleThing*>;

// "kind" and "id" of those that have one.
std::map<std::pair<std::string, std::string>, const RuleThing*> by_name(
    const std::vector<RuleThing>& things) {
  std::map<std::pair<std::string, std::string>, const RuleThing*> out;
  for (const RuleThing& thing : things)
    if (thing.has_id) out[{thing.kind, thing.id}] = &thing;
  return out;
}

// Everything it says, a word each.
std::set<std::string> words_of(const RuleThing& thing) {
  std::set<std::string> out;
  for (const auto& value : thing.values)
    for (const std::string& word : value.second.meant) out.insert(value.first.second + "=" + word);
  return out;
}

std::size_t in_common(const std::set<std::string>& a, const std::set<std::string>& b) {
  std::size_t out = 0;
  for (const std::string& word : a) out += b.count(word);
  return out;
}

struct Likeness {
  std::size_t common = 0;
  const RuleThing* before = nullptr;
  const RuleThing* after = nullptr;
};

// Those of a kind that say something in common, most first; the same whichever came first.
std::vector<Likeness> alike(const Things& before, const Things& after) {
  std::vector<std::set<std::string>> said;
  for (const RuleThing* b : after) said.push_back(words_of(*b));
  std::vector<Likeness> out;
  for (const RuleThing* a : before) {
    const std::set<std::string> words = words_of(*a);
    for (std::size_t b = 0; b < after.size(); ++b)
      if (a->kind == after[b]->kind)
        if (const std::size_t common = in_common(words, said[b]))
          out.push_back({common, a, after[b]});
  }
  std::sort(out.begin(), out.end(), [](const Likeness& x, const Likeness& y) {
    const auto key = [](const Likeness& of) {
      return std::make_tuple(std::min(of.before->id, of.after->id),
                             std::max(of.before->id, of.after->id));
    };
    return x.common != y.common ? x.common > y.common : key(x) < key(y);
  });
  return out;
}

class Comparing {
 public:
  std::vector<RuleChange> all(const std::vector<RuleThing>& before,
                              const std::vector<RuleThing>& after) {
    note_kinds(before);
    note_kinds(after);
    const auto old_names = by_name(before), new_names = by_name(after);
    Things gone, come;
    for (const auto& each : old_names) {
      const auto now = new_names.find(each.first);
      if (now == new_names.end())
        gone.push_back(each.second);
      else
        changed(*each.second, *now->second);
    }
    for (const auto& each : new_names)
      if (old_names.count(each.first) == 0) come.push_back(each.second);
    unnamed(before, after, gone, come);
    add_and_remove(gone, come);
    std::sort(out_.begin(), out_.end(), [this](const RuleChange& a, const RuleChange& b) {
      const auto key = [this](const RuleChange& of) {
        return std::make_tuple(order_.at(of.kind), of.kind, of.id);
      };
      return key(a) < key(b);
    });
    return std::move(out_);
  }

 private:
  void note_kinds(const std::vector<RuleThing>& things) {
    for (const RuleThing& thing : things) order_.emplace(thing.kind, rank_of(thing.kind));
  }

  // What is weighed first, then what is done about it, then the rest.
  static std::size_t rank_of(const std::string& kind) {
    static const std::vector<std::string> kinds = {
        "cause", "rule",   "fault",  "fact", "limit", "check",    "gate",       "edge",
        "end",   "repair", "family", "body", "path",  "strength", "usual word", "setting"};
    return static_cast<std::size_t>(std::find(kinds.begin(), kinds.end(), kind) - kinds.begin());
  }

  // Without ids: the same words are the same thing, and what shares most words with a thing is it.
  void unnamed(const std::vector<RuleThing>& before, const std::vector<RuleThing>& after,
               Things& gone, Things& come) {
    std::multimap<std::pair<std::string, std::set<std::string>>, const RuleThing*> left;
    for (const RuleThing& thing : before)
      if (!thing.has_id) left.emplace(std::make_pair(thing.kind, words_of(thing)), &thing);
    Things fresh;
    for (const RuleThing& thing : after) {
      if (thing.has_id) continue;
      const auto same = left.find({thing.kind, words_of(thing)});
      if (same == left.end())
        fresh.push_back(&thing);
      else
        left.erase(same);
    }
    Things old;
    for (const auto& each : left) old.push_back(each.second);
    std::set<const RuleThing*> paired;
    for (const Likeness& pair : alike(old, fresh)) {
      if (paired.count(pair.before) + paired.count(pair.after) > 0) continue;
      paired.insert(pair.before);
      paired.insert(pair.after);
      changed(*pair.before, *pair.after);
    }
    for (const RuleThing* thing : old)
      if (paired.count(thing) == 0) gone.push_back(thing);
    for (const RuleThing* thing : fresh)
      if (paired.count(thing) == 0) come.push_back(thing);
  }

  void changed(const RuleThing& before, const RuleThing& after) {
    RuleChange made;
    made.kind = before.kind;
    made.id = std::min(before.id, after.id);
    made.fields = fields(before, after);
    if (!made.fields.empty()) out_.push_back(std::move(made));
  }

  static std::vector<FieldChange> fields(const RuleThing& before, const RuleThing& after) {
    auto all = before.values;
    all.insert(after.values.begin(), after.values.end());
    std::vector<FieldChange> out;
    for (const auto& each : all) {
      const auto was = before.values.find(each.first), is = after.values.find(each.first);
      const bool had = was != before.values.end(), has = is != after.values.end();
      if (had && has && was->second.meant == is->second.meant) continue;
      FieldChange made;
      made.field = each.second.name;
      made.is_list = (had && was->second.is_list) || (has && is->second.is_list);
      if (had) made.before = was->second.shown;
      if (has) made.after = is->second.shown;
      out.push_back(std::move(made));
    }
    return out;
  }

  void add_and_remove(const Things& gone, const Things& come) {
    std::map<const RuleThing*, std::string> perhaps;
    for (const Likeness& pair : alike(gone, come)) {
      const std::size_t most =
          std::max(words_of(*pair.before).size(), words_of(*pair.after).size());
      if (2 * pair.common < most || most < 2) continue;
      if (perhaps.count(pair.before) + perhaps.count(pair.after) > 0) continue;
      perhaps[pair.before] = pair.after->id;
      perhaps[pair.after] = pair.before->id;
    }
    const RuleThing nothing;
    const auto put = [&](HowChanged how, const RuleThing& thing, std::vector<FieldChange> said) {
      out_.push_back({how, thing.kind, thing.id, thing.title, perhaps[&thing], std::move(said)});
    };
    for (const RuleThing* thing : gone) put(HowChanged::removed, *thing, fields(*thing, nothing));
    for (const RuleThing* thing : come) put(HowChanged::added, *thing, fields(nothing, *thing));
  }

  std::map<std::string, std::size_t> order_;
  std::vector<RuleChange> out_;
};

}  // namespace

std::string name_of(HowChanged how) {
  switch (how) {
    case HowChanged::added:
      return "added";
    case HowChanged::removed:
      return "removed";
    case HowChanged::changed:
      return "changed";
  }
  return "";
}

std::vector<RuleChange> rule_changes(const std::vector<RuleThing>& before,
                                     const std::vector<RuleThing>& after) {
  return Comparing().all(before, after);
}

}  // namespace perrev
