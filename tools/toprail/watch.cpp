#include "watch.hpp"

#include "toprail/telling.hpp"

#include <unistd.h>

#include <csignal>
#include <iostream>

namespace toprail::command {
namespace {

std::atomic<bool> interrupted{false};
static_assert(std::atomic<bool>::is_always_lock_free, "a signal handler sets it");

extern "C" void on_interrupt(int signal) {
    interrupted.store(true);
    // The next one does what it always did: the work may hang in one long question.
    std::signal(signal, SIG_DFL);
}

extern "C" void on_alarm(int /*signal*/) {
    interrupted.store(true);
}

const char* const clear_line = "\r\033[K";

}  // namespace

Watch::Watch(unsigned seconds) : terminal_(isatty(STDERR_FILENO) == 1) {
    interrupted.store(false);
    // After that, and no sooner: a signal may come at once.
    // NOLINTBEGIN(cppcoreguidelines-prefer-member-initializer)
    before_ = std::signal(SIGINT, on_interrupt);
    alarm_before_ = std::signal(SIGALRM, on_alarm);
    // NOLINTEND(cppcoreguidelines-prefer-member-initializer)
    alarm(seconds);
}

Watch::~Watch() {
    alarm(0);
    std::signal(SIGALRM, alarm_before_);
    std::signal(SIGINT, before_);
    if (terminal_) {
        std::clog << clear_line << std::flush;
    }
}

const std::atomic<bool>* Watch::stop() const {
    return &interrupted;
}

std::function<void(std::size_t, std::size_t, std::string_view)> Watch::progress() const {
    if (!terminal_) {
        return {};
    }
    return [](std::size_t done, std::size_t total, std::string_view about) {
        std::clog << clear_line << done << "/" << total << " " << tell_line(about) << std::flush;
    };
}

}  // namespace toprail::command
