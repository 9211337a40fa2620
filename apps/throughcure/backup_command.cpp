// throughcure backup and restore: the practice's records into one file, and back.
#include <iostream>
#include <memory>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "common_options.hpp"
#include "records_place.hpp"
#include "throughcure/service/data_folder.hpp"
#include "throughcure/service/sessions.hpp"
#include "throughcure/store/backup.hpp"

namespace throughcure::apps {

namespace {

struct BackupOptions {
  std::string file;
  RecordsOptions records{};
  bool look = false;  ///< restore: look through it only
  bool json = false;
};

/// Exit status of a backup that lacks files, made or restored: it is good for all else.
constexpr int kLacksFiles = 4;
/// Exit status where records are not what the audit log says of them, as of an altered log.
constexpr int kNotAsLogged = 1;

nlohmann::ordered_json lost_json(const std::vector<store::LostFile>& lost) {
  auto files = nlohmann::ordered_json::array();
  for (const store::LostFile& file : lost) {
    files.push_back({{"sha256", file.sha256},
                     {"is", file.changed ? "changed" : "gone"},
                     {"name", file.name},
                     {"belongs_to", file.belongs_to},
                     {"record", file.record},
                     {"about", file.about}});
  }
  return files;
}

int status_of(const store::BackupAbout& about) {
  if (about.against_log.faults > 0) return kNotAsLogged;
  return about.lost.empty() && about.left_out.empty() ? 0 : kLacksFiles;
}

/// What of the data folder is in it. Beside a server that folder is known only where it was named.
void tell_folder(const BackupOptions& options, const std::string& done, const store::BackupAbout& about) {
  const bool unknown = done != "looked through" && options.records.data.empty();
  if (about.folder_files == 0) {
    std::cout << "Lights, materials and cases, which lie as files in the practice's data folder, are not in it"
              << (unknown ? ": name that folder with --data beside --server, or copy it.\n" : ".\n");
  } else {
    std::cout << "Of the practice's data folder it holds "
              << (about.folder_files == 1 ? "a file" : std::to_string(about.folder_files) + " files")
              << ": lights, materials, cases"
              << (unknown ? ". They were not laid out: name the folder with --data beside --server.\n" : ".\n");
  }
  for (const std::string& one : about.left_out) std::cout << "Left out is " << one << ".\n";
}

/// Of a backup that was looked through.
const char* how_it_is(const store::BackupAbout& about) {
  if (about.against_log.faults > 0) return " can be read";
  return about.lost.empty() ? " is whole" : " is sound";
}

void tell(const BackupOptions& options, const std::string& done, const store::BackupAbout& about) {
  if (options.json) {
    std::cout << nlohmann::ordered_json{{"done", done},
                                        {"file", options.file},
                                        {"made_at", base::instant_text(about.made_at)},
                                        {"version", about.version},
                                        {"tables", about.tables},
                                        {"rows", about.rows},
                                        {"changes", about.changes},
                                        {"root", about.root},
                                        {"lost", lost_json(about.lost)},
                                        {"folder_files", about.folder_files},
                                        {"left_out", about.left_out},
                                        {"not_as_logged", about.against_log.faults},
                                        {"not_as_logged_first", about.against_log.told}}
                     .dump(2)
              << '\n';
    return;
  }
  const std::string what = done == "backed up"  ? "Backed up into " + options.file
                           : done == "restored" ? "Restored from " + options.file
                                                : options.file + how_it_is(about);
  std::cout << what << ": " << about.rows << " rows in " << about.tables << " tables, as they stood at "
            << base::instant_text(about.made_at) << ".\nThe audit log has " << about.changes
            << " changes, its root is\n"
            << about.root << "\n";
  tell_folder(options, done, about);
  if (about.against_log.faults > 0) {
    std::cout << "Its records are not what the audit log says of them: " << store::words_of(about.against_log)
              << ".\nLook for who changed the database, and take an earlier backup.\n";
  }
  if (about.lost.empty()) return;
  std::cout << "It lacks " << (about.lost.size() == 1 ? "a file" : std::to_string(about.lost.size()) + " files")
            << " that could not be had when it was made:\n";
  for (const store::LostFile& file : about.lost) {
    std::cout << "  " << file.name << ": " << store::told(file) << "\n    SHA-256 " << file.sha256 << '\n';
  }
  std::cout << "Attach the same file again, or take it out of an earlier backup.\n";
}

int run_backup(const BackupOptions& options, const Context&) {
  const Practice practice = practice_of(options.records);
  must_be_folder(options.records);
  const store::BackupAbout about = store::back_up(practice.place, options.file, service::system_now(), practice.folder);
  tell(options, "backed up", about);
  return status_of(about);
}

int run_restore(const BackupOptions& options, const Context&) {
  if (options.look) {
    const store::BackupAbout about = store::look_through(options.file);
    tell(options, "looked through", about);
    return status_of(about);
  }
  const Practice practice = practice_of(options.records);
  // A backup that is no good leaves no folder behind.
  store::look_through(options.file);
  if (practice.folder) service::open_data_folder(*practice.folder, service::FolderKind::practice, {});
  const store::BackupAbout about = store::restore(options.file, practice.place, practice.folder);
  tell(options, "restored", about);
  return status_of(about);
}

}  // namespace

void add_backup_command(CLI::App& app, const std::function<void(Action)>& choose) {
  auto options = std::make_shared<BackupOptions>();
  CLI::App* command = app.add_subcommand("backup", "the practice's records into one file, while they are in use");
  command->add_option("FILE", options->file, "the backup to make; it must not be there yet")->required();
  add_records(*command, options->records);
  add_json(*command, options->json);
  command->footer(
      "The file holds chart numbers and free text in the clear: keep it as safe as the records themselves, and one "
      "copy\n"
      "of it outside the building. Lights, materials and cases of the practice's folder go in too: with --server, "
      "name\n"
      "that folder with --data beside it. A file that is gone, rotten or a link is named, and left out: exit status "
      "4.\n"
      "Records that are not what the audit log says of them go in as they are, and are named: exit status 1.\n"
      "\nExample:\n  throughcure backup --data ~/practice /media/stick/2026-11-26.backup");
  run_when_named(*command, choose, options, run_backup);
}

void add_restore_command(CLI::App& app, const std::function<void(Action)>& choose) {
  auto options = std::make_shared<BackupOptions>();
  CLI::App* command = app.add_subcommand("restore", "records out of a backup, looked through first");
  command->add_option("FILE", options->file, "the backup; it stays as it is")->required();
  add_records(*command, options->records);
  command->add_flag("--look", options->look, "only look through it: is it whole");
  add_json(*command, options->json);
  command->footer(
      "Records that are there are never written over: restore into an empty folder or database; a folder that is not\n"
      "there is made. Lights, materials and cases are laid out in it: with --server, name it with --data beside it.\n"
      "What the backup lacks is named: exit status 4; records that are not what its audit log says: exit status 1.\n\n"
      "Examples:\n  throughcure restore --look /media/stick/2026-11-26.backup\n"
      "  throughcure restore --data ~/practice-again /media/stick/2026-11-26.backup");
  run_when_named(*command, choose, options, run_restore);
}

}  // namespace throughcure::apps
