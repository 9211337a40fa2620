// The command line: one binary, one subcommand a job.
#include <csignal>
#include <exception>
#include <iostream>

#include "commands.hpp"
#include "throughcure/base/problem.hpp"

namespace {

/// Exit statuses; they are a contract.
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
