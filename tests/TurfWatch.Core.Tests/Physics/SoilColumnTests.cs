using CsCheck;
using TurfWatch.Core.Physics;
using Xunit;

namespace TurfWatch.Core.Tests.Physics;

/// <summary>
/// The conduction solver against the analytic solutions for a sinusoidal surface (Hillel 1982, Introduction to Soil
/// Physics) and a step (Carslaw and Jaeger 1959, Conduction of Heat in Solids: erfc), α = 5·10⁻⁷ m²/s.
/// </summary>
public class SoilColumnTests
{
    private const double Conductivity = 1;
    private const double Capacity = 2e6;
    private const double Day = 86400;

    [Theory]
    // Mean 15, amplitude 10, surface sine zero at t = 0 h; depths 2 and 4 in. Values of the analytic solution.
    [InlineData(0, 0.0508, 12.278)]
    [InlineData(6, 0.0508, 20.885)]
    [InlineData(12, 0.0508, 17.722)]
    [InlineData(18, 0.0508, 9.115)]
    [InlineData(0, 0.1016, 11.796)]
    [InlineData(6, 0.1016, 17.723)]
    [InlineData(12, 0.1016, 18.204)]
    [InlineData(18, 0.1016, 12.277)]
    public void A_sinusoidal_surface_reaches_depth_as_the_analytic_solution_says(
        int hour,
        double depth,
        double expected
    ) =>
        Check.Near(
            expected,
            At(Run(100, 0.01, 3600, (20 * 24) + hour, Sine, _ => 15), 0.01, depth),
            0.1
        );

    [Theory]
    // erfc(z / 2√(αt)) after 1, 3 and 7 days at 2 and 4 in.
    [InlineData(1, 0.0508, 0.8628)]
    [InlineData(3, 0.0508, 0.9205)]
    [InlineData(7, 0.0508, 0.9479)]
    [InlineData(1, 0.1016, 0.7296)]
    [InlineData(3, 0.1016, 0.8418)]
    [InlineData(7, 0.1016, 0.8961)]
    public void A_step_at_the_surface_spreads_as_erfc(int days, double depth, double expected) =>
        Check.Near(
            expected,
            At(Run(400, 0.01, 3600, days * 24, _ => 1, _ => 0), 0.01, depth),
            0.002
        );

    [Fact]
    public void Halving_the_time_step_quarters_the_error()
    {
        double At10(int stepsPerHour) =>
            At(Run(100, 0.01, 3600.0 / stepsPerHour, 246 * stepsPerHour, Sine, Wave), 0.01, 0.1);
        var exact = At10(32);
        var (coarse, fine) = (Math.Abs(At10(1) - exact), Math.Abs(At10(2) - exact));
        Assert.InRange(coarse / fine, 3.2, 5);
    }

    [Fact]
    public void Halving_the_layers_quarters_the_error()
    {
        // Started on the analytic wave; a quarter of a day later, 10 cm deep.
        var exact =
            15 + (10 * Math.Exp(-0.1 / Damping) * Math.Sin((2 * Math.PI / 4) - (0.1 / Damping)));
        double Error(double dz) =>
            Math.Abs(At(Run((int)(1 / dz), dz, 150, 6 * 24, Sine, Wave), dz, 0.1) - exact);
        Assert.InRange(Error(0.02) / Error(0.01), 3.2, 5);
    }

    [Fact]
    public void Heat_stored_is_heat_let_in() =>
        Gen.Double[-300, 300]
            .Array[48]
            .Sample(fluxes =>
            {
                var dz = new double[30];
                Array.Fill(dz, 0.02);
                var column = new SoilColumn(dz);
                var (conductivity, capacity) = Uniform(30);
                column.Prepare(conductivity, capacity, 0.05, 3600);
                var (t, start, stage) = (new double[30], new double[30], new double[30]);
                Array.Fill(t, 10);
                double heat = 0;
                foreach (var flux in fluxes)
                {
                    t.CopyTo(start, 0);
                    column.BeginFirst(start);
                    column.End(flux, stage);
                    column.BeginSecond(start, stage);
                    column.End(-flux / 2, t);
                    heat +=
                        3600 * (((1 - SoilColumn.Gamma) * flux) - (SoilColumn.Gamma * flux / 2));
                }

                var stored = t.Sum(x => (x - 10) * 0.02 * Capacity);
                Assert.True(
                    Math.Abs(stored - heat) <= 1e-6 * fluxes.Sum(Math.Abs) * 3600,
                    $"{heat} J/m² in, {stored} stored"
                );
            });

    [Fact]
    public void A_layer_without_thickness_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new SoilColumn([0.01, 0]));

    private static readonly double Damping = Math.Sqrt(
        2 * (Conductivity / Capacity) * Day / (2 * Math.PI)
    );

    private static double Wave(double depth) =>
        15 + (10 * Math.Exp(-depth / Damping) * Math.Sin(-depth / Damping));

    private static double Sine(double second) => 15 + (10 * Math.Sin(2 * Math.PI * second / Day));

    private static (double[] Conductivity, double[] Capacity) Uniform(int layers)
    {
        var (a, b) = (new double[layers], new double[layers]);
        Array.Fill(a, Conductivity);
        Array.Fill(b, Capacity);
        return (a, b);
    }

    private static double[] Run(
        int layers,
        double dz,
        double step,
        int steps,
        Func<double, double> surface,
        Func<double, double> initial
    )
    {
        var thickness = new double[layers];
        Array.Fill(thickness, dz);
        var column = new SoilColumn(thickness);
        var (conductivity, capacity) = Uniform(layers);
        column.Prepare(conductivity, capacity, 0, step);
        var (t, start, stage) = (new double[layers], new double[layers], new double[layers]);
        for (var i = 0; i < layers; i++)
        {
            t[i] = initial((i + 0.5) * dz);
        }

        for (var i = 0; i < steps; i++)
        {
            t.CopyTo(start, 0);
            column.BeginFirst(start);
            column.End(column.FluxAt(surface((i + SoilColumn.Gamma) * step)), stage);
            column.BeginSecond(start, stage);
            column.End(column.FluxAt(surface((i + 1) * step)), t);
        }

        return t;
    }

    private static double At(double[] t, double dz, double depth)
    {
        var i = (int)((depth / dz) - 0.5);
        var share = (depth / dz) - 0.5 - i;
        return t[i] + (share * (t[i + 1] - t[i]));
    }

    [Theory]
    [InlineData(4)]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(21)]
    public void A_matrix_reduced_from_the_changed_layer_on_is_the_whole_one(int deepest)
    {
        var column = new SoilColumn(SoilGrid.ThicknessM);
        var whole = new SoilColumn(SoilGrid.ThicknessM);
        var conductivity = new double[SoilGrid.Layers];
        var capacity = new double[SoilGrid.Layers];
        Array.Fill(conductivity, 1.2);
        Array.Fill(capacity, 2.5e6);
        column.Prepare(conductivity, capacity, 0.05, 3600);
        for (var i = 0; i <= deepest; i++)
        {
            conductivity[i] = 0.6 + (0.01 * i);
            capacity[i] = 1.9e6;
        }

        column.Prepare(conductivity, capacity, 0.09, 3600, deepest);
        whole.Prepare(conductivity, capacity, 0.09, 3600);

        var start = new double[SoilGrid.Layers];
        for (var i = 0; i < start.Length; i++)
        {
            start[i] = 10 + i;
        }

        var (one, other) = (new double[start.Length], new double[start.Length]);
        column.BeginFirst(start);
        column.End(40, one);
        whole.BeginFirst(start);
        whole.End(40, other);
        Assert.Equal(other, one);
        Assert.Equal(whole.SurfaceConductance, column.SurfaceConductance);
    }
}
