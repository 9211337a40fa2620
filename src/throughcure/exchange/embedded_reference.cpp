#include "throughcure/exchange/embedded_reference.hpp"

#include <algorithm>
#include <cstddef>
#include <span>
#include <string>

#include "throughcure/base/problem.hpp"

namespace {

/// One row of the table that cmake/embed.cmake writes.
struct EmbeddedFile {
  const char* name;
  std::size_t name_size;
  const char* bytes;
  std::size_t size;
};

}  // namespace

extern "C" {
extern const EmbeddedFile throughcure_reference_files[];
extern const std::size_t throughcure_reference_count;
}

namespace throughcure::exchange {

namespace {

std::span<const EmbeddedFile> files() { return {throughcure_reference_files, throughcure_reference_count}; }

/// "initiators" of "initiators.toml".
std::string_view topic_of(const EmbeddedFile& file) {
  const std::string_view name(file.name, file.name_size);
  return name.substr(0, name.rfind('.'));
}

}  // namespace

std::string_view reference_text(std::string_view topic) {
  const auto all = files();
  const auto found = std::ranges::find(all, topic, topic_of);
  if (found == all.end()) throw base::Failure("there is no reference on " + std::string(topic));
  return {found->bytes, found->size};
}

TomlDocument reference_document(std::string_view topic) {
  return TomlDocument::parse(reference_text(topic), "reference/" + std::string(topic) + ".toml");
}

std::vector<std::string_view> reference_topics() {
  std::vector<std::string_view> topics;
  for (const EmbeddedFile& file : files()) topics.push_back(topic_of(file));
  std::ranges::sort(topics);
  return topics;
}

}  // namespace throughcure::exchange
