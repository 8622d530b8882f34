#include "replace_file.hpp"

#include "commands.hpp"

#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <iostream>

namespace toprail::command {
namespace {

constexpr mode_t mode_of_new_file = 0644;

// A new file beside the old one; gone again unless it was put in its place.
class NewFile {
  public:
    explicit NewFile(const std::string& beside)
        : name_(beside + ".XXXXXX"),
          handle_(::mkstemp(name_.data())) {}
    NewFile(const NewFile&) = delete;
    NewFile& operator=(const NewFile&) = delete;
    ~NewFile() {
        if (handle_ >= 0) {
            ::close(handle_);
        }
        if (handle_ >= 0 && !placed_) {
            ::unlink(name_.c_str());
        }
    }

    // False, with errno set, when any step fails.
    bool store(const std::string& text, const std::string& path) {
        struct stat old {};
        const bool there = ::stat(path.c_str(), &old) == 0;
        const mode_t mode = there ? old.st_mode & 07777 : mode_of_new_file;
        return handle_ >= 0 && write_all(text) && ::fchmod(handle_, mode) == 0 &&
               ::fsync(handle_) == 0 && (placed_ = ::rename(name_.c_str(), path.c_str()) == 0);
    }

  private:
    [[nodiscard]] bool write_all(const std::string& text) const {
        for (std::size_t done = 0; done < text.size();) {
            const ssize_t count = ::write(handle_, text.data() + done, text.size() - done);
            if (count < 0 && errno != EINTR) {
                return false;
            }
            done += count > 0 ? static_cast<std::size_t>(count) : 0;
        }
        return true;
    }

    std::string name_;
    int handle_;
    bool placed_ = false;
};

}  // namespace

void replace_file(const std::string& path, const std::string& text) {
    std::error_code trouble;
    const std::filesystem::path real = std::filesystem::canonical(path, trouble);
    const std::string target = trouble ? path : real.string();
    if (!NewFile(target).store(text, target)) {
        std::cerr << "toprail: " << tell_line(path)
                  << " cannot be written: " << std::strerror(errno) << "\n";
        throw Unusable{};
    }
}

}  // namespace toprail::command
