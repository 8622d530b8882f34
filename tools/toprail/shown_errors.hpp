// The error output without characters that could hide or turn what is shown: names of files, cases
// and options come from outside, and a terminal would obey them.
#pragma once

#include <ostream>
#include <streambuf>
#include <string>

namespace toprail::command {

/// While it lives, what is written to the stream goes on with such characters shown as their code
/// points. Line ends and tabs stay. What has to move the cursor goes to std::clog, which is not
/// held back. Not thread-safe.
class ShownErrors : public std::streambuf {
  public:
    explicit ShownErrors(std::ostream& stream);
    ~ShownErrors() override;
    ShownErrors(const ShownErrors&) = delete;
    ShownErrors& operator=(const ShownErrors&) = delete;

  protected:
    int_type overflow(int_type c) override;
    std::streamsize xsputn(const char* text, std::streamsize size) override;
    int sync() override;

  private:
    std::ostream& stream_;
    std::streambuf* below_;
    std::string waiting_;  // until it is flushed
};

}  // namespace toprail::command
