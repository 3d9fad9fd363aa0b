# Writes a C++ file that holds the built page: -DBUNDLE=folder -DOUTPUT=file.cpp
function(array name file out)
  file(READ ${file} hex HEX)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${hex}")
  string(REGEX REPLACE "(................................................................................)" "\\1\n" bytes "${bytes}")
  set(${out} "const unsigned char ${name}[] = {\n${bytes}};\n" PARENT_SCOPE)
endfunction()

array(script ${BUNDLE}/page.js script)
array(style ${BUNDLE}/page.css style)
file(WRITE ${OUTPUT}.new "#include \"bundle.hpp\"

namespace pullcast {
namespace {

std::string_view text(const unsigned char* bytes, std::size_t size) {
    return {reinterpret_cast<const char*>(bytes), size};
}
${script}${style}
}  // namespace

std::string_view page_script() { return text(script, sizeof script); }
std::string_view page_style() { return text(style, sizeof style); }

}  // namespace pullcast
")
file(RENAME ${OUTPUT}.new ${OUTPUT})
