#include "throughcure/exchange/audit_check.hpp"

#include <utility>
#include <variant>

#include "throughcure/base/hex.hpp"
#include "throughcure/exchange/audit_line.hpp"
#include "throughcure/exchange/stream_lines.hpp"
#include "throughcure/practice/merkle.hpp"

namespace throughcure::exchange {

namespace {

using practice::Change;
using practice::Digest;
using practice::SignedHead;

constexpr int kLinesBetweenTellings = 1024;
constexpr int kMostLines = 1'000'000'000;
constexpr const char* kUntouched = "Take an export that nobody touched";
constexpr const char* kCopyAgain = "Copy the file again, byte for byte";

std::string changes_text(std::uint64_t count) { return std::to_string(count) + (count == 1 ? " change" : " changes"); }

/// How long the stream is; 0, where it cannot tell.
std::uint64_t bytes_left(std::istream& in) {
  const auto here = in.tellg();
  in.seekg(0, std::ios::end);
  const auto end = in.tellg();
  in.clear();
  in.seekg(here);
  in.clear();
  return here >= 0 && end > here ? static_cast<std::uint64_t>(end - here) : 0;
}

/// Follows the lines of one log and collects what is wrong.
class Follower {
 public:
  Follower(const std::string& name, const AuditQuestion& question) : name_(name), question_(question) {
    compare_paper();
  }

  void follow(const StreamLine& line, int number) {
    line_ = number;
    if (report_.head && !after_head_) {
      after_head_ = true;
      add(number, "lines stand after the head, which ends a log", kUntouched);
    }
    const AuditLine read = read_line(line);
    if (const auto* change = std::get_if<Change>(&read)) {
      follow(*change);
    } else if (const auto* head = std::get_if<SignedHead>(&read)) {
      follow(*head);
    } else {
      // Taken for the change that should stand here, so that the next one is not called out of place.
      ++last_number_;
      if (lost_line_ == 0) lost_line_ = number;
    }
    if (!line.ended) add(number, "the last line has no end: the file is cut off", kCopyAgain);
  }

  AuditReport finish() {
    if (report_.changes == 0 && !report_.head) {
      report_.problems.insert(report_.problems.begin(), {.file = name_,
                                                         .field = "",
                                                         .what = "not one line of it is of an audit log",
                                                         .remedy = "Give a file that the practice exported"});
      throw base::InputError(std::move(report_.problems));
    }
    if (lost_line_ == 0) report_.root = edge_.root();
    if (report_.head) {
      check_head(*report_.head);
    } else {
      add_always(line_, "the signed head is missing, with which every export ends: the log is cut off", kCopyAgain);
    }
    if (question_.paper && question_.paper->size > edge_.size() && lost_line_ == 0) {
      add_always(line_,
                 "the paper speaks of " + changes_text(question_.paper->size) + ", this file has only " +
                     std::to_string(edge_.size()) + ": it is cut off, or older than the paper",
                 "Ask for an export made after the report was printed");
    }
    if (question_.paper && lost_line_ != 0 && !paper_compared_) {
      add_always(lost_line_, "this line cannot be read, so the root on paper cannot be compared", kUntouched);
    }
    note_clock();
    if (report_.faults == 0) {
      const bool by_paper = question_.paper && question_.paper->size == report_.changes;
      report_.answer = question_.key || by_paper ? AuditAnswer::kIntact : AuditAnswer::kConsistent;
      if (question_.paper) report_.vouched = question_.paper->size;
      if (question_.key) report_.vouched = report_.changes;
    }
    return std::move(report_);
  }

 private:
  /// Of a line: the first ones are kept.
  void add(base::Problem problem) {
    if (report_.problems.size() < kMostAuditProblems) {
      add_always(std::move(problem));
    } else {
      ++report_.faults;
    }
  }
  void add(int line, std::string what, std::string remedy) {
    add({.file = name_, .line = line, .field = "", .what = std::move(what), .remedy = std::move(remedy)});
  }
  /// Of the whole log: a few at most, and none may be lost behind those of many lines.
  void add_always(base::Problem problem) {
    ++report_.faults;
    report_.problems.push_back(std::move(problem));
  }
  void add_always(int line, std::string what, std::string remedy) {
    add_always({.file = name_, .line = line, .field = "", .what = std::move(what), .remedy = std::move(remedy)});
  }

  AuditLine read_line(const StreamLine& line) {
    if (line.too_long) {
      add(line_, "the line is longer than the " + std::to_string(kMostAuditLineBytes) + " bytes allowed", kUntouched);
      return NoAuditLine{};
    }
    base::Problems problems;
    AuditLine read = read_audit_line(line.text, name_, line_, problems);
    for (base::Problem& problem : problems) add(std::move(problem));
    return read;
  }

  void follow(const Change& change) {
    const std::uint64_t expected = last_number_ + 1;
    if (change.number != expected) add(line_, why_not(change.number, expected), "Look for it in an older export");
    last_number_ = change.number;
    if (report_.changes > 0 && change.at < last_at_) ++clock_went_back_;
    last_at_ = change.at;
    ++report_.changes;
    if (lost_line_ != 0) return;  // what follows a line that is lost has no place in the tree
    edge_.append(practice::leaf_hash(practice::leaf_bytes(change)));
    if (!report_.head) compare_paper();
  }
  void follow(const SignedHead& head) {
    if (report_.head) return;
    report_.head = head;
    head_line_ = line_;
  }

  static std::string why_not(std::uint64_t found, std::uint64_t expected) {
    const std::string here = "change " + std::to_string(found) + " stands where change " + std::to_string(expected);
    if (found + 1 == expected) return here + " should: it stands here twice";
    if (found > expected) return here + " should: what is between was taken out or moved";
    return here + " should: it was moved or put in again";
  }

  /// Once, when as many changes were read as the paper speaks of.
  void compare_paper() {
    if (!question_.paper || question_.paper->size != edge_.size()) return;
    paper_compared_ = true;
    if (edge_.root() == question_.paper->root) return;
    const std::uint64_t size = edge_.size();
    add_always(
        line_,
        (size == 1 ? "change 1 is not the one" : "changes 1 to " + std::to_string(size) + " are not those") +
            std::string(" whose root is on paper: something up to this line was altered (the root here is ") +
            base::hex(edge_.root()) + ")",
        "Compare the root with the paper digit by digit; if it was copied rightly, find an older export and compare "
        "the "
        "lines");
  }

  void check_head(const SignedHead& head) {
    if (head.head.size != report_.changes) {
      add_always(head_line_,
                 "the head was signed over " + changes_text(head.head.size) + ", and " +
                     std::to_string(report_.changes) + (report_.changes == 1 ? " is here" : " are here"),
                 "Look for what is missing or too much in an older export");
    } else if (report_.root && *report_.root != head.head.root) {
      add_always(head_line_,
                 "the changes do not add up to the root that was signed" +
                     std::string(report_.faults > 0 ? "" : ": a line was altered together with its hash") +
                     " (the root here is " + base::hex(*report_.root) + ")",
                 "Find an older export and compare the lines");
    }
    if (!practice::is_signed(head)) {
      add_always(head_line_, "the head does not have the signature of the key that it names: it was altered",
                 kUntouched);
    }
    if (question_.key && *question_.key != head.head.key) {
      add_always(
          head_line_,
          "the head was signed with another key than the one you gave: it names " + base::hex(head.head.key) +
              ". The whole log may have been written anew",
          "Compare the key with the paper digit by digit; if it was copied rightly, this is not the practice's log");
    }
  }

  void note_clock() {
    if (clock_went_back_ > 0) {
      report_.notes.push_back(changes_text(clock_went_back_) + (clock_went_back_ == 1 ? " is" : " are") +
                              " dated before the one above: the clock was set back, or ran wrong.");
    }
    if (report_.head && report_.changes > 0 && report_.head->head.at < last_at_) {
      report_.notes.emplace_back("The head is dated before the last change: the clock was set back, or ran wrong.");
    }
  }

  const std::string& name_;
  const AuditQuestion& question_;
  AuditReport report_{};
  practice::RightEdge edge_{};
  std::uint64_t last_number_ = 0;
  base::Instant last_at_{};
  std::uint64_t clock_went_back_ = 0;
  int line_ = 0;  ///< the one that is followed, or was last
  int head_line_ = 0;
  int lost_line_ = 0;  ///< the first that could not be read; 0: none
  bool after_head_ = false;
  bool paper_compared_ = false;
};

}  // namespace

AuditReport check_audit_log(std::istream& in, const std::string& name, const AuditQuestion& question,
                            const base::Running& running) {
  const std::uint64_t all_bytes = bytes_left(in);
  StreamLines lines(in, kMostAuditLineBytes);
  Follower follower(name, question);
  StreamLine line;
  int number = 0;
  while (lines.next(line)) {
    if (running.stop.stop_requested()) throw base::Interrupted();
    if (++number > kMostLines) {
      throw base::InputError(
          {{name, number, 0, "", "more lines than the " + std::to_string(kMostLines) + " that are read",
            "Give a smaller file"}});
    }
    follower.follow(line, number);
    if (running.progress && all_bytes > 0 && number % kLinesBetweenTellings == 0) {
      running.progress(static_cast<double>(lines.bytes()) / static_cast<double>(all_bytes), "checking the audit log");
    }
  }
  return follower.finish();
}

}  // namespace throughcure::exchange
