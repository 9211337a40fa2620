// A mark in the data folder while the program serves from it, so that the next start knows whether this one was stopped
// or cut off.
#pragma once

#include <filesystem>

namespace throughcure::service {

/// There from its making until its end, which is as good as the program's own end: what was killed, or lost its power,
/// leaves it. One that was left stays until it was looked after: a start that fails before does not hide it. Where
/// another program serves from the folder, the mark is that one's, and this is none. Where it cannot be written there
/// is none either, and nobody is kept out.
class RunningMark {
 public:
  explicit RunningMark(const std::filesystem::path& data_folder);
  ~RunningMark();
  RunningMark(const RunningMark&) = delete;
  RunningMark& operator=(const RunningMark&) = delete;

  /// Whether it was there already, of a program that runs no more.
  [[nodiscard]] bool was_left() const { return was_left_; }
  /// The records of the program that left it were looked through, and whoever starts this one was told.
  void looked_after() { was_left_ = false; }
  /// Whether another program serves from the folder now.
  [[nodiscard]] bool is_anothers() const { return is_anothers_; }

 private:
  std::filesystem::path path_;
  int file_ = -1;
  bool was_left_ = false;
  bool is_anothers_ = false;
};

}  // namespace throughcure::service
