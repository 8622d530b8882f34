// Long work seen from a terminal: how far it is, and how it is stopped.
#pragma once

#include <atomic>
#include <functional>
#include <string_view>

namespace toprail::command {

/// While it lives, the first interrupt sets a flag instead of ending the program; a second one ends
/// it. Past a number of seconds the flag is set all the same; 0 is no end. Progress is shown on the
/// error output when that is a terminal. One at a time.
class Watch {
  public:
    explicit Watch(unsigned seconds);
    Watch(const Watch&) = delete;
    Watch& operator=(const Watch&) = delete;
    ~Watch();

    [[nodiscard]] const std::atomic<bool>* stop() const;
    [[nodiscard]] std::function<void(std::size_t, std::size_t, std::string_view)> progress() const;

  private:
    bool terminal_;
    void (*before_)(int);
    void (*alarm_before_)(int);
};

}  // namespace toprail::command
