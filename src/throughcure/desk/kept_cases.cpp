#include "throughcure/desk/kept_cases.hpp"

#include <algorithm>

namespace throughcure::desk {

KeptCases::KeptCases(plan::Knowledge knowledge, std::size_t most) : knowledge_(std::move(knowledge)), most_(most) {}

std::shared_ptr<KeptCase> KeptCases::of(const std::string& key, const plan::Case& c, const base::Running& running) {
  std::shared_ptr<KeptCase> kept;
  {
    const std::scoped_lock lock(mutex_);
    const auto found = std::ranges::find(kept_, key, &std::pair<std::string, std::shared_ptr<KeptCase>>::first);
    if (found != kept_.end()) {
      kept_.splice(kept_.begin(), kept_, found);
    } else {
      kept_.emplace_front(key, std::make_shared<KeptCase>());
      if (kept_.size() > most_) kept_.pop_back();
    }
    kept = kept_.front().second;
  }
  const std::scoped_lock lock(kept->working);
  if (!kept->ground) {
    kept->ground = std::make_shared<const plan::Ground>(plan::prepare(c, knowledge_, {}, running));
  }
  return kept;
}

}  // namespace throughcure::desk
