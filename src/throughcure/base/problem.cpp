#include "throughcure/base/problem.hpp"

#include <utility>

namespace throughcure::base {

namespace {

std::string all_sentences(const Problems& problems) {
  std::string text;
  for (const Problem& problem : problems) {
    if (!text.empty()) text += '\n';
    text += sentence(problem);
  }
  return text;
}

}  // namespace

std::string sentence(const Problem& problem) {
  std::string text = problem.file;
  if (problem.line > 0) text += ':' + std::to_string(problem.line);
  if (problem.line > 0 && problem.column > 0) text += ':' + std::to_string(problem.column);
  if (!text.empty()) text += ": ";
  if (!problem.field.empty()) text += problem.field + ": ";
  text += problem.what + '.';
  if (!problem.remedy.empty()) text += ' ' + problem.remedy + '.';
  return text;
}

InputError::InputError(Problems problems) : problems_(std::move(problems)), text_(all_sentences(problems_)) {}

void refuse(std::string field, std::string what, std::string remedy) {
  throw InputError({{.file = {}, .field = std::move(field), .what = std::move(what), .remedy = std::move(remedy)}});
}

void refuse_if_any(const Problems& problems) {
  if (!problems.empty()) throw InputError(problems);
}

}  // namespace throughcure::base
