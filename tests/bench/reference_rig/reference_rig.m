% The reference rig once more, for Octave. Equations: components.hpp. Numbers: parameters.csv (first argument).
% Prints the seconds of processor time that one pull takes by ode15s at the relative tolerance of the second argument,
% then the charge temperature at its end.
1;

function m = loss(p1, rho1, p2, rho2, area, P)
  dp = p1 - p2;
  m = area * sqrt(0.5 * (rho1 + rho2)) * dp / (dp^2 + P.width^2)^0.25;
end

function H = upwind(m, a, b, P)
  H = 0.5 * (m * (a + b) + m^2 / sqrt(m^2 + P.flow_width^2) * (a - b));
end

function dx = rates(t, x, P)
  cv = P.cp - P.R;
  V = [P.duct_volume; P.lid_volume; P.manifold_volume];
  mass = x(1:2:5); T = x(2:2:6) ./ (mass * cv); rho = mass ./ V; p = P.R * rho .* T; h = P.cp * T;
  core = x(9); omega = x(11);
  s = min(max(t / P.opening_time, 0), 1);
  gate = s^3 * (10 + s * (-15 + 6 * s));

  area = sqrt(2) * (P.leak_area + (P.open_area - P.leak_area) * gate);
  T0 = P.ambient_temperature; p0 = P.ambient_pressure;
  m1 = loss(p0, p0 / (P.R * T0), p(1), rho(1), area, P);
  H1 = upwind(m1, P.cp * T0, h(1), P);

  PR = p(2) / p(1);
  m2 = (P.ve0 - P.ve1 * (PR - 1)) * rho(1) * P.blower_displacement * P.blower_ratio * omega / (2 * pi);
  work = m2 * h(1) * (PR^(P.R / P.cp) - 1) / P.eta;

  m3 = loss(p(2), rho(2), p(3), rho(3), P.cooler_flow, P);
  H3 = upwind(m3, h(2), h(3), P);
  C = P.cp * sqrt(m3^2 + P.flow_width^2);
  share = 1 - exp(-P.air_conductance / C);
  Q1 = C * (T(2) - x(7)) * share;
  Q2 = C * (T(2) - Q1 / C - x(8)) * share;
  out = P.coolant_conductance * (x(7:8) - core);

  per_radian = P.engine_ve * rho(3) * P.engine_displacement / (4 * pi);
  m4 = per_radian * omega;
  exchange = P.coolant_flow * (core - x(10));
  torque = P.air_work * per_radian - work / omega - P.drag * omega^2;
  dx = [m1 - m2; H1 - m2 * h(1); m2 - m3; m2 * h(1) + work - H3; m3 - m4; H3 - Q1 - Q2 - m4 * h(3);
        ([Q1; Q2] - out) / P.wall_capacity; (sum(out) - exchange) / P.core_capacity;
        (exchange - P.front_conductance * (x(10) - T0)) / P.reservoir_capacity;
        gate * torque / P.inertia; (T(3) - x(12)) / P.sensor_lag];
end

arguments = argv();
file = fopen(arguments{1});
columns = textscan(file, "%s %f %s %s", "Delimiter", ",", "HeaderLines", 1);
fclose(file);
P = cell2struct(num2cell(columns{2}), columns{1});
rtol = str2double(arguments{2});

T0 = P.ambient_temperature;
mass = P.ambient_pressure * [P.duct_volume; P.lid_volume; P.manifold_volume] / (P.R * T0);
start = [reshape([mass, mass * (P.cp - P.R) * T0]', 6, 1); T0; T0; T0; T0; P.start_speed; T0];
nominal = [1e-3; 100; 1e-3; 100; 1e-3; 100; 300; 300; 300; 300; 100; 300];
options = odeset("RelTol", rtol, "AbsTol", rtol * nominal);
report = linspace(0, P.duration, P.points + 1);
begin = cputime();
[t, y] = ode15s(@(t, x) rates(t, x, P), report, start, options);
printf("%.6g\n", cputime() - begin);
printf("%.9g\n", y(end, 6) / (y(end, 5) * (P.cp - P.R)));
