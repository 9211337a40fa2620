#include "throughcure/service/start_up.hpp"

#include <utility>

#include "throughcure/desk/clock.hpp"
#include "throughcure/store/against_log.hpp"

namespace throughcure::service {

namespace {

std::string counted(std::uint64_t count, const std::string& one, const std::string& many) {
  return count == 1 ? one : std::to_string(count) + " " + many;
}

std::string how_they_stand(store::Store& records) {
  const std::string ended = "The program ended without being stopped last time; ";
  const std::string remedy = " Stop the program, and restore the last good backup.";
  store::AgainstLog found;
  records.read([&](const store::Reader& reader) { found = reader.against_log(); });
  if (!found.under_root) return ended + "the audit log does not stand under its root any more." + remedy;
  if (found.faults > 0) {
    return ended + "the records are not what the audit log says of them: " + store::words_of(found) + "." + remedy;
  }
  return ended + "the records are whole: " +
         (found.changes == 0 ? "nothing was written yet."
                             : counted(found.changes, "the one change of the audit log stands under its root.",
                                       "changes of the audit log stand under its root."));
}

}  // namespace

std::vector<std::string> start_up_sentences(store::Store& records, bool was_cut_off, base::Instant now) {
  std::vector<std::string> sentences;
  const store::Found& found = records.found();
  if (was_cut_off) sentences.push_back(how_they_stand(records));
  std::string behind;
  records.read([&](const store::Reader& reader) { behind = desk::clock_behind(reader, now); });
  if (!behind.empty()) sentences.push_back(std::move(behind));
  if (found.orphans > 0) {
    sentences.push_back(counted(found.orphans, "A file that no record had come to name was removed.",
                                "files that no record had come to name were removed."));
  }
  if (found.version_before > 0 && found.version_before < found.version) {
    sentences.push_back("The records' tables were brought from version " + std::to_string(found.version_before) +
                        " to version " + std::to_string(found.version) + ".");
  }
  return sentences;
}

}  // namespace throughcure::service
