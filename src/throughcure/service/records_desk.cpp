#include "throughcure/service/records_desk.hpp"

#include <algorithm>
#include <utility>

#include <boost/asio/post.hpp>
#include <boost/asio/thread_pool.hpp>
#include <nlohmann/json.hpp>

#include "throughcure/base/number_text.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/practice/digest.hpp"
#include "throughcure/service/pages.hpp"

namespace throughcure::service {

namespace {

constexpr std::string_view kKeyHeader = "idempotency-key";
constexpr std::size_t kLeastKey = 16;
constexpr std::size_t kMostKey = 64;

Response answer_to(const Call& call, const std::function<Response(const Call&)>& work, const SiteSettings& settings) {
  try {
    return work(call);
  } catch (const base::InputError& error) {
    return refused(error);
  } catch (const desk::Forbidden& error) {
    return refusal_json(403, error.what());
  } catch (const desk::Missing& error) {
    return refusal_json(404, error.what());
  } catch (const store::Conflict& error) {
    return refusal_json(409, error.what());
  } catch (const TooSoon& error) {
    Response out =
        refusal_json(429, "Too many tries. Wait " + std::to_string(error.wait().count()) + " seconds, then try again.");
    out.headers.push_back({"retry-after", std::to_string(error.wait().count())});
    return out;
  } catch (const base::Interrupted&) {
    throw;
  } catch (const base::Failure& error) {
    settings.log(error.what());
    return refusal_json(503, error.what());
  } catch (const std::exception& error) {
    settings.log(error.what());
    return refusal_json(500, "Something went wrong inside. The program's own log says what.");
  }
}

}  // namespace

struct DeskThreads::Pool {
  explicit Pool(unsigned count) : threads(count) {}
  boost::asio::thread_pool threads;
};

DeskThreads::DeskThreads(unsigned threads) : pool_(std::make_unique<Pool>(threads)) {}
DeskThreads::~DeskThreads() { close(); }
void DeskThreads::post(std::function<void()> work, std::function<void(std::string_view)> log) {
  // An exception that gets out of a thread of this pool ends the program.
  boost::asio::post(pool_->threads, [work = std::move(work), log = std::move(log)] {
    try {
      work();
    } catch (const std::exception& error) {
      log(error.what());
    }
  });
}
void DeskThreads::close() { pool_->threads.join(); }

Handler on_desk(const RecordsDesk& desk, std::function<Response(const Call&)> work) {
  return [desk, work = std::move(work)](Call call, const Reply& reply) {
    desk.threads->post([desk, work, call = std::move(call), reply] { reply(answer_to(call, work, desk.settings)); },
                       desk.settings.log);
  };
}

Handler on_desk_by_job(const RecordsDesk& desk, Jobs& jobs,
                       std::function<Response(const Call&, const base::Running&)> work) {
  return [desk, &jobs, work = std::move(work)](Call call, const Reply& reply) {
    const std::string person = call.session.value_or(Session{}).person;
    const auto kept_call = std::make_shared<const Call>(std::move(call));
    const auto answer = std::make_shared<Response>();
    const auto name = jobs.submit(
        {.person = person,
         .drag = {},
         .work =
             [desk, work, kept_call, answer](const base::Running& running) {
               *answer = answer_to(*kept_call, [&](const Call& one) { return work(one, running); }, desk.settings);
               return std::string();
             },
         .over =
             [reply, answer](const JobView& view) {
               reply(view.state == JobState::done ? *answer
                                                  : refusal_json(503, "The work was stopped before it was done."));
             }});
    if (!name) reply(refusal_json(429, "Too much is being worked out already. Try again in a moment."));
  };
}

Response refused(const base::InputError& error) {
  nlohmann::json problems = nlohmann::json::array();
  for (const base::Problem& problem : error.problems()) {
    problems.push_back({{"field", problem.field}, {"what", problem.what}, {"remedy", problem.remedy}});
  }
  const nlohmann::json body{{"sentence", error.what()}, {"problems", problems}};
  return json_response(422, body.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace) + "\n");
}

Response json_response(int status, std::string document) {
  return text_response(status, "application/json", std::move(document));
}

const practice::Member& member_of(const Call& call) {
  if (!call.session) throw base::Failure("a route that wants a session was called without one");
  return call.session->member;
}

store::Author author_of(const Call& call, const RecordsDesk& desk) {
  return {std::to_string(member_of(call).person.number), desk.settings.now()};
}

std::string once(store::Writer& writer, const Call& call, const std::function<std::string()>& work) {
  const std::string key(call.request.header(kKeyHeader));
  if (key.empty()) return work();
  const bool plain = std::ranges::all_of(key, [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
  });
  if (key.size() < kLeastKey || key.size() > kMostKey || !plain) {
    base::refuse("idempotency-key", "it must have 16 to 64 of the characters A-Z a-z 0-9 - _", "Send a new random key");
  }
  const practice::Digest request =
      practice::sha256({call.request.target, std::string_view("\0", 1), call.request.body});
  if (auto reply = writer.answered(key, request)) return *std::move(reply);
  std::string reply = work();
  writer.answer(key, request, reply);
  return reply;
}

std::string_view role_word(practice::Role role) {
  return base::Words<practice::Role>::words.at(static_cast<std::size_t>(role));
}

std::string name_of(const store::Reader& reader, const std::string& author) {
  const auto number = base::whole_number(author);
  if (!number) return "the program";
  const auto person = reader.get<practice::Person>({*number});
  return person ? person->record.name : "nobody known";
}

std::int64_t number_in_path(const Call& call, std::string_view name) {
  const auto at = call.parameters.find(name);
  const auto number = at == call.parameters.end() ? std::nullopt : base::whole_number(at->second);
  if (!number || *number < 1) throw desk::Missing("Nothing of that number is here.");
  return *number;
}

std::int64_t revision_in_query(const Call& call) {
  const auto revision = number_in_query(call, "revision");
  if (!revision) {
    base::refuse("revision", "it is not said which revision was changed", "Read the record, then change it");
  }
  return *revision;
}

std::optional<std::string> text_in_query(const Call& call, std::string_view name) {
  const auto at =
      std::ranges::find(call.target.query, name, [](const auto& pair) { return std::string_view(pair.first); });
  if (at == call.target.query.end()) return std::nullopt;
  return at->second;
}

std::optional<std::int64_t> number_in_query(const Call& call, std::string_view name) {
  const auto text = text_in_query(call, name);
  if (!text) return std::nullopt;
  const auto number = base::whole_number(*text);
  if (!number || *number < 0) base::refuse(std::string(name), "\"" + *text + "\" is no whole number", "Give one");
  return number;
}

}  // namespace throughcure::service
