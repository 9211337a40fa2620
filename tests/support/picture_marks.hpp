// What lies on a picture, by kind.
#pragma once

#include <set>
#include <string>
#include <variant>
#include <vector>

#include "throughcure/draw/picture.hpp"

namespace throughcure::tests {

template <class Kind>
std::vector<Kind> all(const draw::Picture& picture) {
  std::vector<Kind> out;
  for (const draw::Mark& mark : picture.marks) {
    if (const auto* one = std::get_if<Kind>(&mark)) out.push_back(*one);
  }
  return out;
}

inline std::set<std::string> words(const draw::Picture& picture) {
  std::set<std::string> out;
  for (const draw::Text& text : all<draw::Text>(picture)) out.insert(text.words);
  return out;
}

}  // namespace throughcure::tests
