#include "throughcure/desk/kept_cases.hpp"

#include <algorithm>

#include "throughcure/base/number_text.hpp"

namespace throughcure::desk {

namespace {

/// Where it is judged otherwise than by what is known, by what: the numbers, and where they are from.
std::string key_with(const std::string& key, const std::optional<cure::Policy>& policy) {
  std::string whole = key;
  if (!policy) return whole;
  for (const base::Sourced& number : {policy->through_cured_from, policy->under_cured_to}) {
    whole += '\n';
    whole += base::number_text(number.value) + " " + std::string(base::word(number.kind)) + " " + number.source;
  }
  return whole;
}

}  // namespace

KeptCases::KeptCases(plan::Knowledge knowledge, std::size_t most) : knowledge_(std::move(knowledge)), most_(most) {}

std::shared_ptr<KeptCase> KeptCases::of(const std::string& document_key, const plan::Case& c,
                                        const base::Running& running, const std::optional<cure::Policy>& policy) {
  const std::string key = key_with(document_key, policy);
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
    plan::Ground ground = plan::prepare(c, knowledge_, {}, running);
    if (policy) ground.priors.policy = *policy;
    kept->ground = std::make_shared<const plan::Ground>(std::move(ground));
  }
  return kept;
}

}  // namespace throughcure::desk
