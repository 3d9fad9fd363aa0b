/// The secret that a page shows with every request, so that other programs and pages of the machine are kept out.
#pragma once
#include <string>
#include <string_view>

namespace pullcast {

/// 192 random bits from the system, as 48 hexadecimal digits.
std::string new_token();

/// Takes as long for a wrong text of that length as for the right one.
bool same_token(std::string_view given, std::string_view token);

}  // namespace pullcast
