# Writes a C++ file that holds the built pages: -DBUNDLE=folder -DOUTPUT=file.cpp
function(array name file out)
  file(READ ${file} hex HEX)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${hex}")
  string(REGEX REPLACE "(................................................................................)" "\\1\n" bytes "${bytes}")
  set(${out} "const unsigned char ${name}[] = {\n${bytes}};\n" PARENT_SCOPE)
endfunction()

foreach(name page more)
  array(${name}_js ${BUNDLE}/${name}.js ${name}_js)
  array(${name}_css ${BUNDLE}/${name}.css ${name}_css)
endforeach()
file(WRITE ${OUTPUT}.new "#include \"bundle.hpp\"

namespace pullcast {
namespace {

std::string_view text(const unsigned char* bytes, std::size_t size) {
    return {reinterpret_cast<const char*>(bytes), size};
}
${page_js}${page_css}${more_js}${more_css}
}  // namespace

Bundle page_bundle() { return {text(page_js, sizeof page_js), text(page_css, sizeof page_css)}; }
Bundle more_bundle() { return {text(more_js, sizeof more_js), text(more_css, sizeof more_css)}; }

}  // namespace pullcast
")
file(RENAME ${OUTPUT}.new ${OUTPUT})
