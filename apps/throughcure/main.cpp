// The command line: one binary, one subcommand a job.
#include <csignal>
#include <exception>
#include <iostream>

#include "commands.hpp"
#include "throughcure/base/problem.hpp"

namespace {

/// Exit statuses; they are a contract. A command may add its own: 1 where what it checked does not hold, 4 of a backup
/// that lacks files.
enum Status : int { kDone = 0, kInput = 2, kFailure = 3, kInterrupted = 130 };

}  // namespace

int main(int argc, char** argv) {
  using namespace throughcure;
  try {
    return apps::run(argc, argv);
  } catch (const base::InputError& error) {
    std::cerr << error.what() << '\n';
    return kInput;
  } catch (const base::Interrupted& error) {
    std::cerr << error.what() << '\n';
    return kInterrupted;
  } catch (const std::exception& error) {
    std::cerr << error.what() << '\n';
    return kFailure;
  }
}
