namespace TurfWatch.Core.Physics;

/// <summary>
/// Runs one surface hour by hour: weather in, state of soil, water and leaves on. Nothing is allocated per hour.
/// Several do their hours faster side by side (<see cref="Step(ReadOnlySpan{SiteKernel}, ReadOnlySpan{SiteHour})"/>).
/// </summary>
internal sealed class SiteKernel
{
    private const double StepS = 3600;
    private const double StepDays = 1.0 / 24;
    private const double SeasonHours = 20 * 24;

    // Water held too tightly to evaporate from the top, as a share of the wilting point.
    private const double AirDryShare = 0.4;

    private const double ContentStep = 0.004;
    private const double LeafAreaStep = 0.05;

    private readonly SurfaceParameters _surface;
    private double _leafArea = -1;
    private readonly double _windHeightM;
    private readonly double _pressureHPa;
    private readonly SoilColumn _column = new(SoilGrid.ThicknessM);
    private readonly int[] _zone = new int[SoilGrid.Layers];
    private readonly double[] _conductivity = new double[SoilGrid.Layers];
    private readonly double[] _capacity = new double[SoilGrid.Layers];
    private readonly double[] _content = new double[SoilGrid.Layers];
    private readonly double[] _stage = new double[SoilGrid.Layers];
    private readonly double[] _knownContent = new double[SoilWater.Zones];
    private double _sunThrough;
    private double _filmBefore;
    private double _caught;
    private double _falling;
    private readonly double _drainDays;
    private readonly double[] _roots;
    private readonly (double Dry, double Saturated) _conductivityEnds;
    private SurfaceBalance _balance;
    private bool _frozen;
    private bool _rained;
    private double _snowResistance;
    private bool _prepared;
    private double _leafPotentialMm;

    public SiteKernel(SurfaceParameters surface, double elevationM, double windHeightM)
    {
        _surface = surface;
        _windHeightM = windHeightM;
        _pressureHPa = Psychrometrics.PressureHPa(elevationM);
        _conductivityEnds = SoilThermalProperties.JohansenEndsWMK(
            surface.Soil.Porosity,
            surface.Soil.SandFraction
        );
        _drainDays = SoilWater.DrainDays(surface.Soil);
        _roots = SoilWater.Roots(surface.RootDepthM);
        _balance.LeafStore = surface.LeafStoreMm;
        _balance.Gamma = Psychrometrics.PsychrometricConstantHPaPerK(_pressureHPa);
        _balance.StepS = StepS;
        _balance.LeafC = double.NaN;
        for (var i = 0; i < SoilGrid.Layers; i++)
        {
            _zone[i] = SoilWater.ZoneAt(SoilGrid.DepthM[i]);
        }

        // Below the roots the soil holds what it can.
        SetZone(SoilWater.Zones, surface.Soil.FieldCapacity);
        Array.Fill(_knownContent, -1);
    }

    public SiteKernelState State { get; } = new();

    // What the last hour did; heat [W/m², mean of the hour], water [mm].
    public double LeafC { get; private set; }
    public double GroundC { get; private set; }
    public double WetShare { get; private set; }

    /// <summary>The leaves carry more than a trace at the hour's end, or lie under snow, or it rained: rain is put on them when the hour begins, but falls until it ends.</summary>
    public bool WetAtEnd =>
        _rained || State.SnowMm > 0 || State.LeafWaterMm + State.FrostMm > LeafWater.DryMm;

    public double NetRadiation { get; private set; }
    public double Sensible { get; private set; }
    public double Latent { get; private set; }
    public double SoilFlux { get; private set; }
    public double MeltFlux { get; private set; }
    public double SnowMeltFlux { get; private set; }
    public double LeafEvaporationMm { get; private set; }
    public double TranspirationMm { get; private set; }
    public double GroundEvaporationMm { get; private set; }
    public double SublimatedMm { get; private set; }
    public double IrrigationMm { get; private set; }
    public double DrainedMm { get; private set; }

    /// <summary>Available water in the root zone [0-1].</summary>
    public double AvailableShare =>
        SoilWater.AvailableShare(State.SoilWaterMm, _surface.Soil, _surface.RootDepthM);

    public double TopWetness =>
        ((State.SoilWaterMm[0] / SoilWater.DepthMm[0]) - _surface.Soil.WiltingPoint)
        / (_surface.Soil.FieldCapacity - _surface.Soil.WiltingPoint);

    /// <summary>Heat and ice of the column as energy above 0 °C liquid [J/m²].</summary>
    public double HeatContent()
    {
        double sum = 0;
        for (var i = 0; i < SoilGrid.Layers; i++)
        {
            sum +=
                (_capacity[i] * SoilGrid.ThicknessM[i] * State.SoilC[i])
                - (State.SoilIceMm[i] * SoilFreezing.LatentJPerKg);
        }

        return sum;
    }

    /// <summary>Goes on from a state.</summary>
    public void Load(SiteKernelState state)
    {
        if (!ReferenceEquals(state, State))
        {
            State.CopyFrom(state);
        }

        _frozen = Array.Exists(State.SoilIceMm, ice => ice > 0);
        RefreshSoil();
    }

    /// <summary>Share of the leaves that is alive; where the canopy follows the season, by the warmth of the soil.</summary>
    private double Green()
    {
        if (!_surface.Seasonal)
        {
            return _surface.GreenShare;
        }

        var x = Math.Clamp((State.SeasonC - 8) / 10, 0, 1);
        return _surface.GreenShare * x * x * (3 - (2 * x));
    }

    private void RefreshCanopy()
    {
        var area =
            _surface.LeafArea
            + (_surface.Seasonal ? _surface.SummerLeafArea * Green() / _surface.GreenShare : 0);
        if (State.SnowMm > 0)
        {
            // What lies under the snow is no canopy.
            area *= Math.Max(0, 1 - (State.SnowDepthM / _surface.HeightM));
        }

        area = Math.Max(LeafAreaStep, Math.Round(area / LeafAreaStep) * LeafAreaStep);
        if (area == _leafArea)
        {
            return;
        }

        _leafArea = area;
        _balance.Air = new(_surface with { LeafArea = area }, _windHeightM);
        _sunThrough = Math.Exp(-0.6 * area);
        _balance.LeafOpen = Math.Exp(-area);
    }

    public void Step(in SiteHour hour)
    {
        BeginFirst(hour);
        _balance.Solve();
        BeginSecond();
        _balance.Solve();
        End();
    }

    /// <summary>Does an hour of each of several kernels, their balances side by side.</summary>
    /// <param name="kernels"><see cref="SideBySide.Count"/> of them.</param>
    /// <param name="hours">The hour of each.</param>
    public static void Step(ReadOnlySpan<SiteKernel> kernels, ReadOnlySpan<SiteHour> hours)
    {
        for (var k = 0; k < SideBySide.Count; k++)
        {
            kernels[k].BeginFirst(hours[k]);
        }

        SolveSideBySide(kernels);
        for (var k = 0; k < SideBySide.Count; k++)
        {
            kernels[k].BeginSecond();
        }

        SolveSideBySide(kernels);
        for (var k = 0; k < SideBySide.Count; k++)
        {
            kernels[k].End();
        }
    }

    private static void SolveSideBySide(ReadOnlySpan<SiteKernel> kernels) =>
        SideBySide.Solve(
            ref kernels[0]._balance,
            ref kernels[1]._balance,
            ref kernels[2]._balance,
            ref kernels[3]._balance
        );

    private void BeginFirst(in SiteHour hour)
    {
        var rain = hour.RainMm - Snowfall(hour);
        RefreshSoil();
        RefreshCanopy();
        var available = AvailableShare;
        IrrigationMm = Irrigation(hour, available);

        // Rain and sprinkler: leaves first, the rest falls through.
        _falling = rain + IrrigationMm;
        _rained = hour.RainMm >= SiteEnsemble.LeastRainMm;
        _caught = Math.Min(
            _falling * (1 - _balance.LeafOpen),
            Math.Max(0, _surface.LeafStoreMm - State.LeafWaterMm - State.FrostMm)
        );
        _filmBefore = State.LeafWaterMm + State.FrostMm;
        State.LeafWaterMm += _caught;

        Forcing(hour, available);
        _column.BeginFirst(State.SoilC);
        SoilToBalance();
    }

    private void BeginSecond()
    {
        _column.End(_balance.SoilFlux, _stage);
        Collect(1 - SoilColumn.Gamma, first: true);
        _column.BeginSecond(State.SoilC, _stage);
        SoilToBalance();
    }

    private void End()
    {
        _column.End(_balance.SoilFlux, State.SoilC);
        Collect(SoilColumn.Gamma, first: false);

        if (_frozen || State.SoilC[0] < 0 || State.SoilC[1] < 0 || State.SoilC[2] < 0)
        {
            _frozen = SoilFreezing.Apply(State.SoilC, State.SoilIceMm, _content, _capacity);
        }

        var soil = _surface.Soil;
        var water = State.SoilWaterMm;
        var toSoil = _falling - _caught;
        toSoil += Thaw();
        toSoil += Leaves(_filmBefore, _caught, _falling);
        water[0] -= GroundEvaporationMm;
        SoilWater.Uptake(water, soil, _roots, TranspirationMm);
        DrainedMm = SoilWater.Move(water, soil, toSoil, _drainDays, StepDays);
        State.SeasonC += (SoilGrid.TenCm.Of(State.SoilC) - State.SeasonC) / SeasonHours;
    }

    private void SoilToBalance()
    {
        _balance.SoilConductance = _column.SurfaceConductance;
        _balance.SoilReference = _column.SurfaceReference;
    }

    private void Collect(double weight, bool first)
    {
        var keep = first ? 0 : 1;
        var mm = weight * StepS;
        LeafC = (keep * LeafC) + (weight * _balance.LeafC);
        GroundC = (keep * GroundC) + (weight * _balance.GroundC);
        NetRadiation = (keep * NetRadiation) + (weight * _balance.NetRadiation);
        Sensible = (keep * Sensible) + (weight * _balance.Sensible);
        Latent = (keep * Latent) + (weight * _balance.LatentFlux);
        SoilFlux = (keep * SoilFlux) + (weight * _balance.SoilFlux);
        MeltFlux = (keep * MeltFlux) + (weight * _balance.MeltFlux);
        SnowMeltFlux = (keep * SnowMeltFlux) + (weight * _balance.SnowMeltFlux);
        _leafPotentialMm = (keep * _leafPotentialMm) + (mm * _balance.LeafPotential);
        LeafEvaporationMm = (keep * LeafEvaporationMm) + (mm * _balance.LeafEvaporation);
        TranspirationMm = (keep * TranspirationMm) + (mm * _balance.Transpiration);
        GroundEvaporationMm = (keep * GroundEvaporationMm) + (mm * _balance.GroundEvaporation);
    }

    /// <summary>Books the hour's water on the leaves; returns what drips off [mm].</summary>
    private double Leaves(double filmBefore, double caught, double rain)
    {
        var melted = MeltFlux * StepS / SoilFreezing.LatentJPerKg;
        melted = Math.Clamp(melted, -State.LeafWaterMm, State.FrostMm);
        State.FrostMm -= melted;
        State.LeafWaterMm += melted;
        var dewShare = State.LeafWaterMm > 0 ? Math.Min(1, State.DewMm / State.LeafWaterMm) : 0;
        var drip = 0.0;
        if (LeafEvaporationMm <= 0)
        {
            // Below 0 °C vapour goes straight to ice.
            if (LeafC < 0)
            {
                State.FrostMm -= LeafEvaporationMm;
            }
            else
            {
                State.LeafWaterMm -= LeafEvaporationMm;
                State.DewMm -= LeafEvaporationMm;
            }
        }
        else
        {
            var total = State.LeafWaterMm + State.FrostMm;
            if (LeafEvaporationMm > total)
            {
                // The two stages may together ask for a trace more than there was; the soil gives it.
                GroundEvaporationMm += LeafEvaporationMm - total;
                LeafEvaporationMm = total;
            }

            var left = total <= 0 ? 0 : (total - LeafEvaporationMm) / total;
            State.LeafWaterMm *= left;
            State.FrostMm *= left;
            State.DewMm = dewShare * State.LeafWaterMm;
        }

        if (State.LeafWaterMm > _surface.LeafStoreMm)
        {
            drip = State.LeafWaterMm - _surface.LeafStoreMm;
            State.DewMm *= _surface.LeafStoreMm / State.LeafWaterMm;
            State.LeafWaterMm = _surface.LeafStoreMm;
        }

        State.DewMm = Math.Clamp(State.DewMm, 0, State.LeafWaterMm);
        var store = _surface.LeafStoreMm;
        WetShare =
            State.SnowMm > 0 ? 1
            : rain > 0
                ? LeafWater.WetShareInRain(
                    rain,
                    filmBefore,
                    filmBefore + caught,
                    store,
                    _leafPotentialMm
                )
            : LeafWater.WetShare(filmBefore, State.LeafWaterMm + State.FrostMm, store);
        return drip;
    }

    /// <summary>Lays the hour's snow on the ground and lets the snow settle; returns what fell as snow [mm].</summary>
    private double Snowfall(in SiteHour hour)
    {
        var mm = hour.RainMm > 0 ? hour.RainMm * Snow.Share(hour.AirC) : 0;
        if (State.SnowMm + mm <= 0)
        {
            return 0;
        }

        var depth = State.SnowDepthM + (mm / Snow.NewKgM3(hour.AirC));
        State.SnowMm += mm;
        State.SnowDepthM = State.SnowMm / Snow.SettledAfterHourKgM3(State.SnowMm / depth);
        return mm;
    }

    /// <summary>Books what snow melted and what went into the air; returns the melt water [mm].</summary>
    private double Thaw()
    {
        var before = State.SnowMm;
        SublimatedMm = 0;
        if (before <= 0)
        {
            return 0;
        }

        var melted = Math.Min(before, SnowMeltFlux * StepS / SoilFreezing.LatentJPerKg);
        var fromSnow = Math.Min(before - melted, GroundEvaporationMm);
        GroundEvaporationMm -= fromSnow;
        var left = before - melted - fromSnow;
        if (left < Snow.LeastMm)
        {
            melted += left;
            left = 0;
        }

        SublimatedMm = fromSnow;
        State.SnowDepthM *= left / before;
        State.SnowMm = left;
        return melted;
    }

    private void Forcing(in SiteHour hour, double available)
    {
        ref var b = ref _balance;
        b.AirC = hour.AirC;
        b.VapourHPa = hour.VapourHPa;
        b.Wind = hour.WindMS;
        b.HeatCapacity =
            Psychrometrics.AirDensityKgM3(hour.AirC, hour.VapourHPa, _pressureHPa)
            * Psychrometrics.SpecificHeatAir;
        b.Latent = Psychrometrics.LatentHeatJPerKg(hour.AirC);
        var sun = hour.ShortwaveWM2 * _surface.SunShare;
        b.SunLeaf = sun * (1 - _surface.LeafAlbedo) * (1 - _sunThrough);
        b.SunGround =
            sun
            * (1 - Snow.Albedo(_surface.GroundAlbedo, State.SnowMm, State.SnowDepthM))
            * _sunThrough;
        var kelvin = hour.AirC + Psychrometrics.ZeroCelsiusK;
        b.Sky =
            (_surface.SkyView * hour.LongwaveWM2)
            + ((1 - _surface.SkyView) * Radiation.BlackBodyWM2(kelvin));
        b.LeafWater = State.LeafWaterMm;
        b.LeafIce = State.FrostMm;
        b.Snow = State.SnowMm;
        b.Stomata = Stomata(hour, sun, available);
        var soil = _surface.Soil;
        var content = State.SoilWaterMm[0] / SoilWater.DepthMm[0];
        var loose = Math.Clamp((content - (AirDryShare * soil.WiltingPoint)) / 0.02, 1e-6, 1);
        b.GroundVapourResistance =
            State.SnowMm > 0
                ? 0
                : (
                    Math.Exp(8.206 - (4.255 * content / soil.Porosity))
                    + _surface.CoverVapourResistance
                ) / loose;
        if (double.IsNaN(b.LeafC))
        {
            b.LeafC = hour.AirC;
            b.GroundC = hour.AirC;
            b.CanopyAirC = hour.AirC;
            b.CanopyVapour = hour.VapourHPa;
        }
    }

    /// <summary>Conductance of the stomata of all leaves [m/s], as a product of stresses (Jarvis 1976; Noilhan and Planton 1989).</summary>
    private double Stomata(in SiteHour hour, double sun, double available)
    {
        var green = Green();

        if (green <= 0 || sun <= 0)
        {
            return 0;
        }

        var light = 1.1 * sun / (sun + 100);
        var deficit = VapourCurve.Of(hour.AirC, out _) - hour.VapourHPa;
        var dryness = 1 / (1 + (Math.Max(0, deficit) / 100));
        var cold = _surface.BestAirC - hour.AirC;
        var warmth = Math.Max(0, 1 - (0.002 * cold * cold));
        var thirst = SoilWater.StressCoefficient(available, _surface.EasyWater);
        return green
            * _leafArea
            * 0.5
            * Math.Min(1, light)
            * dryness
            * warmth
            * thirst
            / _surface.LeafResistance;
    }

    /// <summary>Water before sunrise when what is easily had is used up.</summary>
    private double Irrigation(in SiteHour hour, double available)
    {
        if (
            !_surface.Irrigated
            || hour.SolarHour is < 4 or >= 5
            || hour.AirC < 2
            || 1 - available < _surface.EasyWater
        )
        {
            return 0;
        }

        var soil = _surface.Soil;
        return (1 - available)
            * (soil.FieldCapacity - soil.WiltingPoint)
            * _surface.RootDepthM
            * 1000;
    }

    /// <summary>Thermal properties follow the water; they are renewed when it has moved enough to matter.</summary>
    private void RefreshSoil()
    {
        var deepest = -1;
        for (var z = 0; z < SoilWater.Zones; z++)
        {
            // Rounded, not remembered: the same state always has the same properties.
            var content =
                Math.Round(State.SoilWaterMm[z] / SoilWater.DepthMm[z] / ContentStep) * ContentStep;
            if (content != _knownContent[z])
            {
                _knownContent[z] = content;
                deepest = SetZone(z, content);
            }
        }

        var snow = Snow.ResistanceM2KW(State.SnowMm, State.SnowDepthM);
        if (deepest < 0 && snow == _snowResistance)
        {
            return;
        }

        _snowResistance = snow;
        _column.Prepare(
            _conductivity,
            _capacity,
            _surface.CoverResistance + snow,
            StepS,
            _prepared ? deepest : null
        );
        _prepared = true;
    }

    /// <summary>Gives the layers of a zone the properties of its water content; returns the deepest of them.</summary>
    private int SetZone(int zone, double content)
    {
        var soil = _surface.Soil;
        var conductivity = SoilThermalProperties.JohansenBetweenWMK(
            _conductivityEnds.Dry,
            _conductivityEnds.Saturated,
            content / soil.Porosity,
            soil.Coarse
        );
        var capacity = SoilThermalProperties.HeatCapacityJM3K(
            1 - soil.Porosity,
            0,
            Math.Min(content, soil.Porosity)
        );
        var deepest = -1;
        for (var i = 0; i < SoilGrid.Layers; i++)
        {
            if (_zone[i] == zone)
            {
                _conductivity[i] = conductivity;
                _capacity[i] = capacity;
                _content[i] = content;
                deepest = i;
            }
        }

        return deepest;
    }
}
