# What a plugin's author does first, outside the tree: installs pullcast, copies the installed template, builds it and
# swaps the filter of the installed rig for it. Checks that the pull runs, that the screen's own law holds at every
# report point, and that the blower answers the thinner air at its inlet.
#
#   cmake -DBUILD=<build folder> -DGENERATOR=Ninja -DCOMPILER=<c++> -DFLAGS=<compiler flags> -P out_of_tree.cmake
cmake_minimum_required(VERSION 3.25)

function(run out)
  execute_process(COMMAND ${ARGN} RESULT_VARIABLE code OUTPUT_VARIABLE text ERROR_VARIABLE errors)
  if(NOT code STREQUAL "0")
    list(JOIN ARGN " " command)
    message(FATAL_ERROR "${command}\nended with ${code}\n${text}${errors}\nfolder: ${folder}")
  endif()
  set(${out} "${text}" PARENT_SCOPE)
endfunction()

function(require_text text wanted)
  if(NOT text MATCHES "${wanted}")
    message(FATAL_ERROR "no '${wanted}' in\n${text}\nfolder: ${folder}")
  endif()
endfunction()

run(folder mktemp -d -t pullcast-plugin-XXXXXX)
string(STRIP "${folder}" folder)
set(prefix ${folder}/installed)
run(ignored ${CMAKE_COMMAND} --install ${BUILD} --prefix ${prefix})

# The author's part. The README of the template gives these commands.
file(COPY ${prefix}/share/pullcast/template DESTINATION ${folder})
set(own ${folder}/template)
run(ignored ${CMAKE_COMMAND} -S ${own} -B ${own}/build -G ${GENERATOR} -DCMAKE_PREFIX_PATH=${prefix}
  -DCMAKE_CXX_COMPILER=${COMPILER} -DCMAKE_CXX_FLAGS=${FLAGS} -DCMAKE_EXPORT_COMPILE_COMMANDS=ON)
run(ignored ${CMAKE_COMMAND} --build ${own}/build)
file(READ ${own}/build/compile_commands.json commands)
require_text("${commands}" "-ffp-contract=off")

# The headers and the package that were used are the installed ones, not the tree's.
cmake_path(GET CMAKE_CURRENT_LIST_DIR PARENT_PATH tests)
cmake_path(GET tests PARENT_PATH tree)
foreach(place IN ITEMS ${tree}/ ${BUILD}/)
  string(FIND "${commands}" "${place}" at)
  if(NOT at EQUAL -1)
    message(FATAL_ERROR "the plugin was built with files of ${place}:\n${commands}")
  endif()
endforeach()

set(pullcast ${prefix}/bin/pullcast)
run(description ${pullcast} models my.screen --plugin ${own}/build/my_plugin.so)
require_text("${description}" "role restriction, plugin my_plugin")
require_text("${description}" "resistance +pressure loss over mass flow")

file(WRITE ${folder}/study.toml "rig = \"installed/share/pullcast/scenarios/rigs/hillclimb-v6.toml\"
[variant.as-is]
[variant.screen.set]
\"filter.model\" = \"my.screen\"
\"filter.resistance\" = \"20000 Pa s/kg\"
\"filter.reference_density\" = \"1.2 kg/m^3\"
")
run(table ${pullcast} run ${folder}/study.toml --plugin ${own}/build/my_plugin.so --out ${folder}/results --units si)
require_text("${table}" "screen")
foreach(name IN ITEMS summary.json notes.txt as-is.csv screen.csv)
  if(NOT EXISTS ${folder}/results/${name})
    message(FATAL_ERROR "${folder}/results has no ${name}")
  endif()
endforeach()
file(READ ${folder}/results/summary.json summary)
string(JSON count LENGTH "${summary}" variants)
if(NOT count EQUAL 2)
  message(FATAL_ERROR "summary.json holds ${count} variants, not 2")
endif()

# Darcy's law in the CSV's own columns (nine digits, and a difference of pressures: 1e-5), and the swap's effect at the
# last point: a positive-displacement blower takes a volume, so its flow follows the density before it (within 3 %).
file(WRITE ${folder}/check.awk [=[
function number(name) {
    if (!(name in column)) { print "no column " name " in " FILENAME; failed = 1; exit 1 }
    return $(column[name])
}
FNR == 1 { delete column; for (i = 1; i <= NF; ++i) column[$i] = i; next }
{
    flow[FILENAME] = number("filter.flow [kg/s]"); density[FILENAME] = number("inlet.gas.rho [kg/m^3]")
    if (FILENAME !~ /screen.csv$/) next
    rho = (number("ambient.air.rho [kg/m^3]") + number("duct.gas.rho [kg/m^3]")) / 2
    drop = number("ambient.air.p [Pa]") - number("duct.gas.p [Pa]")
    law = rho / 1.2 * drop / 20000
    ++points
    if ((flow[FILENAME] - law) ^ 2 > (1e-5 * law) ^ 2 + 1e-16) {
        print "filter.flow is " flow[FILENAME] ", the law gives " law " on line " FNR; failed = 1; exit 1
    }
}
END {
    if (failed) exit 1
    before = flow[ARGV[1]]; after = flow[ARGV[2]]; thinner = density[ARGV[2]] / density[ARGV[1]]
    print points " points; at the end filter.flow " before " -> " after " kg/s, density x " thinner
    if (points < 100) { print "too few points"; exit 1 }
    if (after > 0.98 * before || after < 0.85 * before) { print "the screen should cost 2 to 15 % of flow"; exit 1 }
    if ((after / before / thinner - 1) ^ 2 > 0.03 ^ 2) { print "flow does not follow density"; exit 1 }
}
]=])
run(report ${CMAKE_COMMAND} -E env LC_ALL=C awk -F, -f ${folder}/check.awk ${folder}/results/as-is.csv
  ${folder}/results/screen.csv)
message(STATUS "${report}")
file(REMOVE_RECURSE ${folder})
