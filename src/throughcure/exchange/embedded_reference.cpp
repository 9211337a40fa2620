#include "throughcure/exchange/embedded_reference.hpp"

#include <algorithm>
#include <string>

#include "throughcure/base/problem.hpp"
#include "throughcure/embedded/reference.hpp"

namespace throughcure::exchange {

namespace {

/// "initiators" of "initiators.toml".
std::string_view topic_of(const base::EmbeddedFile& file) { return file.path.substr(0, file.path.rfind('.')); }

}  // namespace

std::string_view reference_text(std::string_view topic) {
  const base::EmbeddedFiles all = embedded::reference();
  const auto found = std::ranges::find(all, topic, topic_of);
  if (found == all.end()) throw base::Failure("there is no reference on " + std::string(topic));
  return found->bytes;
}

TomlDocument reference_document(std::string_view topic) {
  return TomlDocument::parse(reference_text(topic), "reference/" + std::string(topic) + ".toml");
}

std::vector<std::string_view> reference_topics() {
  std::vector<std::string_view> topics;
  for (const base::EmbeddedFile& file : embedded::reference()) topics.push_back(topic_of(file));
  std::ranges::sort(topics);
  return topics;
}

}  // namespace throughcure::exchange
