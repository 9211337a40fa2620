#include "studies.hpp"

#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/embedded/validation.hpp"
#include "throughcure/exchange/validation_file.hpp"

namespace throughcure::verify {

std::vector<exchange::ValidationRow> embedded_rows(const std::string& group) {
  std::vector<exchange::ValidationRow> rows;
  base::Problems problems;
  for (const base::EmbeddedFile& file : embedded::validation()) {
    try {
      for (exchange::ValidationRow& row :
           exchange::read_validation(file.bytes, "validation/" + std::string(file.path))) {
        if (group.empty() || row.group == group) rows.push_back(std::move(row));
      }
    } catch (const base::InputError& error) {
      problems.insert(problems.end(), error.problems().begin(), error.problems().end());
    }
  }
  base::refuse_if_any(problems);
  return rows;
}

}  // namespace throughcure::verify
