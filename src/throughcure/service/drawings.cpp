#include "throughcure/service/drawings.hpp"

#include <algorithm>

namespace throughcure::service {

std::shared_ptr<const draw::SectionBase> Drawings::of(const std::string& key,
                                                      const std::function<draw::SectionBase()>& make) {
  {
    const std::scoped_lock lock(mutex_);
    const auto found = std::ranges::find(kept_, key, &Kept::first);
    if (found != kept_.end()) {
      kept_.splice(kept_.begin(), kept_, found);
      return kept_.front().second;
    }
  }
  auto made = std::make_shared<const draw::SectionBase>(make());
  const std::scoped_lock lock(mutex_);
  kept_.emplace_front(key, made);
  if (kept_.size() > most_) kept_.pop_back();
  return made;
}

}  // namespace throughcure::service
