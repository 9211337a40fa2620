// Outlines of sections, kept while somebody works with them.
#pragma once

#include <functional>
#include <list>
#include <memory>
#include <mutex>
#include <string>
#include <utility>

#include "throughcure/draw/section_base.hpp"

namespace throughcure::service {

/// The last few outlines by key; the least recently used goes first. Safe from several threads.
class Drawings {
 public:
  explicit Drawings(std::size_t most = 24) : most_(most) {}
  /// The outlines of that key, made when they are new.
  std::shared_ptr<const draw::SectionBase> of(const std::string& key, const std::function<draw::SectionBase()>& make);

 private:
  using Kept = std::pair<std::string, std::shared_ptr<const draw::SectionBase>>;
  std::size_t most_;
  std::mutex mutex_;
  std::list<Kept> kept_;  ///< the last used first
};

}  // namespace throughcure::service
