#include "throughcure/service/start_up.hpp"

#include "throughcure/practice/merkle.hpp"

namespace throughcure::service {

namespace {

std::string counted(std::uint64_t count, const std::string& one, const std::string& many) {
  return count == 1 ? one : std::to_string(count) + " " + many;
}

std::string how_they_stand(store::Store& records) {
  const std::string ended = "The program ended without being stopped last time; ";
  std::uint64_t size = 0;
  bool whole = false;
  records.read([&](const store::Reader& reader) {
    const practice::RightEdge edge = reader.edge();
    size = edge.size();
    const store::LogSizes sizes = reader.log_sizes();
    whole = sizes.settled == sizes.written && practice::merkle_root(reader.leaves(1, size)) == edge.root();
  });
  if (!whole) {
    return ended +
           "the audit log does not stand under its root any more. Stop the program, and restore the last good backup.";
  }
  return ended + "the records are whole: " +
         (size == 0 ? "nothing was written yet."
                    : counted(size, "the one change of the audit log stands under its root.",
                              "changes of the audit log stand under its root."));
}

}  // namespace

std::vector<std::string> start_up_sentences(store::Store& records, bool was_cut_off) {
  std::vector<std::string> sentences;
  const store::Found& found = records.found();
  if (was_cut_off) sentences.push_back(how_they_stand(records));
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
